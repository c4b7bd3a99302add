package serve

import (
	"fmt"
	"runtime"

	tea "github.com/charmbracelet/bubbletea"
)

// guard stands around the frame and its plain board, and keeps what both let through
// to the session that it happens in: the library would print it over the board of this
// machine's own terminal.
type guard struct {
	model tea.Model
	fault func(what string)
}

var _ tea.Model = (*guard)(nil)

func (g *guard) caught() {
	if r := recover(); r != nil {
		g.fault(describe(r))
	}
}

// describe tells a panic without what people have typed: the text of the language's
// own errors, of others the type.
func describe(r any) string {
	if err, ok := r.(runtime.Error); ok {
		return err.Error()
	}
	return fmt.Sprintf("a %T", r)
}

// Init starts the screen.
func (g *guard) Init() tea.Cmd {
	defer g.caught()
	return g.safe(g.model.Init())
}

// Update answers a message.
func (g *guard) Update(msg tea.Msg) (m tea.Model, cmd tea.Cmd) {
	m, cmd = g, tea.Quit
	defer g.caught()
	g.model, cmd = g.model.Update(msg)
	return g, g.safe(cmd)
}

// View draws the screen.
func (g *guard) View() string {
	defer g.caught()
	return g.model.View()
}

// safe wraps a command and all those that it leads to.
func (g *guard) safe(cmd tea.Cmd) tea.Cmd {
	if cmd == nil {
		return nil
	}
	return func() (msg tea.Msg) {
		msg = tea.QuitMsg{}
		defer g.caught()
		out := cmd()
		if batch, ok := out.(tea.BatchMsg); ok {
			for i := range batch {
				batch[i] = g.safe(batch[i])
			}
		}
		return out
	}
}
