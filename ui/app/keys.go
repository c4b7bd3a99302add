package app

import (
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
)

// Keys that work on every screen.
var (
	keyQuit  = screen.Bind("q", "does.leave", "q", "Q")
	keyBreak = screen.Bind("ctrl+c", "does.leave", "ctrl+c")
	keyHelp  = screen.Bind("?", "does.what-works", "?")
	keyMenu  = screen.Bind("/", "does.other-screens", "/")
	keyUndo  = screen.Bind("0", "does.undo", "0", "u", "U")
	keyLeave = screen.Bind("0", "does.back-to-board", "0", "esc")
)

// pressed lets waiting keys through, one by one and in order: a key must meet the
// screen that the key before it has made.
func (m *Model) pressed() tea.Cmd {
	var cmds []tea.Cmd
	for len(m.keys) > 0 && m.waiting == 0 && m.asking == 0 {
		k := m.keys[0]
		m.keys = m.keys[1:]
		cmds = append(cmds, m.ask(m.key(k)))
	}
	return tea.Batch(cmds...)
}

// single takes apart keys that a slow line has brought together: pressed one after
// the other, they would match nothing as one. What was pasted stays one piece, which
// does nothing.
func single(k tea.KeyMsg) []tea.KeyMsg {
	if k.Type != tea.KeyRunes || len(k.Runes) < 2 || k.Paste {
		return []tea.KeyMsg{k}
	}
	out := make([]tea.KeyMsg, len(k.Runes))
	for i, r := range k.Runes {
		out[i] = tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}, Alt: k.Alt && i == 0}
	}
	return out
}

// answerMsg brings back what a screen's command asked for.
type answerMsg struct{ msg tea.Msg }

// ask runs a command that a key caused and holds the next keys back until it has
// been answered.
func (m *Model) ask(cmd tea.Cmd) tea.Cmd {
	if cmd == nil || m.waiting != 0 {
		return cmd // a command to the line holds the keys back by itself
	}
	m.asking++
	return func() tea.Msg { return answerMsg{cmd()} }
}

func (m *Model) answered(a answerMsg) tea.Cmd {
	m.asking--
	switch msg := a.msg.(type) {
	case tea.BatchMsg:
		var cmds []tea.Cmd
		for _, cmd := range msg {
			cmds = append(cmds, m.ask(cmd))
		}
		return tea.Batch(append(cmds, m.pressed())...)
	case tea.QuitMsg:
		return tea.Quit
	default:
		_, cmd := m.Update(msg)
		return tea.Batch(cmd, m.pressed())
	}
}

// focusFor is how long a chosen station stays chosen while nobody presses a key.
// Whoever looks at the board then, from three metres, has to see what comes next.
const focusFor = 2 * time.Minute

func (m *Model) forgetFocus() {
	if m.focus.Set && m.active == screen.Board && m.now.Sub(m.touched) > m.env().OnWall(focusFor) {
		m.focus = screen.Focus{}
	}
}

// key routes a key: the frame's own first, then the active screen's.
func (m *Model) key(k tea.KeyMsg) tea.Cmd {
	s := m.set[m.active]
	m.touched = m.now
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
	case m.takes(k):
		return m.take()
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
	if m.leaving || m.guest() || !m.anythingRuns() {
		return tea.Quit
	}
	m.leaving = true
	m.say(m.words.Say("frame.leave-running"), false)
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
