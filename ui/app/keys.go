package app

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
)

// Keys that work on every screen.
var (
	keyQuit  = screen.Bind("q", "leave the program", "q", "Q")
	keyBreak = screen.Bind("ctrl+c", "leave the program", "ctrl+c")
	keyHelp  = screen.Bind("?", "what works here", "?")
	keyMenu  = screen.Bind("/", "other screens", "/")
	keyUndo  = screen.Bind("0", "undo", "0", "u", "U")
	keyLeave = screen.Bind("0", "back to the board", "0", "esc")
)

// key routes a key: the frame's own first, then the active screen's.
func (m *Model) key(k tea.KeyMsg) tea.Cmd {
	s := m.set[m.active]
	if key.Matches(k, keyBreak.Binding) {
		return tea.Quit
	}
	if s.Typing() {
		return s.Update(m.env(), k)
	}
	quit := key.Matches(k, keyQuit.Binding)
	if !quit {
		m.leaving = false
	}
	switch {
	case quit:
		return m.quit()
	case key.Matches(k, keyHelp.Binding) && m.active != screen.Help:
		return m.open(screen.OpenMsg{Name: screen.Help})
	case key.Matches(k, keyMenu.Binding) && m.active != screen.Menu:
		return m.open(screen.OpenMsg{Name: screen.Menu})
	case m.active == screen.Board && key.Matches(k, keyUndo.Binding):
		return m.do(line.Undo{})
	case m.active != screen.Board && key.Matches(k, keyLeave.Binding):
		m.active = screen.Board
		return nil
	}
	return s.Update(m.env(), k)
}

// quit leaves at once while nothing runs, else asks once.
func (m *Model) quit() tea.Cmd {
	if m.leaving || !m.anythingRuns() {
		return tea.Quit
	}
	m.leaving = true
	m.say("Steps are running. They go on counting while the board is closed. Press q again to leave.", false)
	return nil
}

func (m *Model) anythingRuns() bool {
	for i := range m.shown.Batches {
		if b := &m.shown.Batches[i]; b.Fate == line.OnLine && b.Step.Active() {
			return true
		}
	}
	return len(m.shown.Chores) > 0
}
