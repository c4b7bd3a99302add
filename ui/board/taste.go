package board

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/screen"
)

// tasteKey is the key that tastes the batch packed last. It is offered early while
// nobody has tasted that one.
func tasteKey(env *screen.Env) (k screen.Binding, offer bool) {
	p, ok := env.State.LastPacked()
	if !ok {
		return keyTaste.Unless("no batch is packed yet"), false
	}
	fresh := env.State.Sheet != nil && len(env.State.TastingsOf(&p.Ran)) == 0
	name, _, _ := strings.Cut(p.Ran.Batch, " of ")
	return screen.Bind("t", "taste "+name, keyTaste.Keys()...), fresh
}

func taste(env *screen.Env) tea.Cmd {
	p, ok := env.State.LastPacked()
	if !ok {
		return screen.Say("No batch is packed yet.")
	}
	return func() tea.Msg { return screen.OpenMsg{Name: screen.Recipes, Batch: p.ID} }
}
