package app

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/screen"
)

// guard stands around the frame. A fault in a screen must end neither the program
// nor a countdown: it leaves a report and goes on with a plain board.
type guard struct {
	opt   Options
	frame *Model
	plain *plain // nil while the frame works
	size  tea.WindowSizeMsg
}

// Guarded is the frame with a guard around it: the model that a program runs.
func Guarded(opt Options) tea.Model {
	return &guard{opt: opt, frame: New(opt), size: tea.WindowSizeMsg{Width: 80, Height: 24}}
}

// faultMsg brings a panic of a command to the guard.
type faultMsg struct{ fault fault }

// Init starts the frame.
func (g *guard) Init() (cmd tea.Cmd) {
	if g.plain != nil {
		return g.tick()
	}
	defer g.catch("Init", tickMsg{}, &cmd)
	return g.wrap(g.frame.Init())
}

// Update answers a message.
func (g *guard) Update(msg tea.Msg) (m tea.Model, cmd tea.Cmd) {
	m = g
	if size, ok := msg.(tea.WindowSizeMsg); ok {
		g.size = size
	}
	if f, ok := msg.(faultMsg); ok {
		if g.plain == nil {
			g.fall(f.fault)
		}
		return g, nil
	}
	if g.plain != nil {
		return g, g.answer(msg)
	}
	defer g.catch("Update", msg, &cmd)
	_, cmd = g.frame.Update(msg)
	return g, g.wrap(cmd)
}

// answer lets the plain board have a message. The frame may be tried again from
// there.
func (g *guard) answer(msg tea.Msg) tea.Cmd {
	if _, ok := msg.(tickMsg); ok {
		return g.tick()
	}
	if k, ok := msg.(tea.KeyMsg); ok {
		switch k.String() {
		case "b":
			return g.again()
		case "q", "ctrl+c":
			return tea.Quit
		}
		g.plain.press(k.String())
	}
	return nil
}

// again gives the frame another try, on its board.
func (g *guard) again() (cmd tea.Cmd) {
	g.plain = nil
	defer g.catch("Update", nil, &cmd)
	g.frame.restart(g.size)
	return g.wrap(g.frame.reforecast(true))
}

// View draws the frame, or the plain board where that fails.
func (g *guard) View() (view string) {
	if g.plain == nil {
		func() {
			defer g.catch("View", nil, nil)
			view = g.frame.View()
		}()
	}
	if g.plain != nil {
		return g.plain.view(g.size.Width, g.size.Height)
	}
	return view
}

// catch turns to the plain board when the function that defers it panics.
func (g *guard) catch(where string, msg tea.Msg, cmd *tea.Cmd) {
	r := recover()
	if r == nil {
		return
	}
	g.fall(newFault(where, msg, r))
	if _, ticking := msg.(tickMsg); ticking {
		*cmd = g.tick() // the frame's own has come to its end
	}
}

func (g *guard) fall(f fault) {
	f.screen, f.width, f.height = g.frame.active, g.size.Width, g.size.Height
	say := g.frame.words
	word := say.Say("plain.fault")
	if name, err := f.report(g.opt.Faults, g.opt.Line.Now()); err == nil && name != "" {
		word = say.Say("plain.fault-report", name)
	}
	g.plain = &plain{words: say, line: g.frame.line, word: word}
}

// tick waits for the next second.
func (g *guard) tick() tea.Cmd {
	wait := g.opt.Tick
	if wait == nil {
		wait = tea.Tick
	}
	return wait(time.Second, func(time.Time) tea.Msg { return tickMsg{} })
}

// wrap has a command's panic brought to the guard. Commands run in goroutines of
// their own, where a panic would end the program.
func (g *guard) wrap(cmd tea.Cmd) tea.Cmd {
	if cmd == nil {
		return nil
	}
	return func() (msg tea.Msg) {
		defer func() {
			if r := recover(); r != nil {
				msg = faultMsg{newFault("command", nil, r)}
			}
		}()
		msg = cmd()
		switch m := msg.(type) {
		case tea.BatchMsg:
			for i := range m {
				m[i] = g.wrap(m[i])
			}
		case answerMsg:
			if batch, ok := m.msg.(tea.BatchMsg); ok {
				for i := range batch {
					batch[i] = g.wrap(batch[i])
				}
			}
		}
		return msg
	}
}

// restart brings the frame back to its board, with nothing pending.
func (m *Model) restart(size tea.WindowSizeMsg) {
	m.set = screens()
	m.active = screen.Board
	m.waiting, m.done, m.result, m.asking, m.keys = 0, "", nil, 0, nil
	m.forecaster = forecaster{}
	m.Update(size)
	m.shown = m.line.State()
	m.refresh()
}
