package app

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/screen"
)

var (
	keyBreak = act.Key("ctrl+c", "does.leave", "ctrl+c").Tell(tea.QuitMsg{})
	keyQuit  = act.Key("q", "does.leave", "q", "Q").Tell(tea.QuitMsg{})
)

// globals are the actions that every screen has. Leaving asks once while something
// runs that nobody else watches.
func (m *Model) globals() act.Table {
	quit := keyQuit
	if !m.guest() && m.anythingRuns() {
		quit = quit.Asks(m.words.Say("frame.leave-running"))
	}
	all := act.Table{screen.KeyHelp, screen.KeyMenu, m.keyHush(), quit}
	if m.active != screen.Board {
		all = append(act.Table{screen.KeyLeave}, all...)
	}
	return all
}

// actions is everything that a key does on a screen. One key leaves the program
// whatever is asked or typed.
func (m *Model) actions(env *screen.Env, name screen.Name) act.Table {
	all := append(act.Table{keyBreak.Hidden()}, m.playKeys()...)
	if !all.Closed() {
		all = append(all, screen.Actions(env, m.set[name])...)
	}
	if all.Closed() {
		all = append(all, keyBreak)
	}
	return all
}

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
const focusFor = 8 * time.Second

func (m *Model) forgetFocus() {
	if m.focus.Set && m.active == screen.Board && m.wall().Sub(m.touched) > focusFor {
		m.focus = screen.Focus{}
	}
}

// key puts a key to the actions of the active screen. Whatever it is, it answers what
// the foot has asked.
func (m *Model) key(k press) tea.Cmd {
	m.touched = k.at
	env := m.env()
	all := m.actions(env, m.active)
	if why := m.guarded(k, all.Closed()); why != "" {
		m.ignore(why)
		return nil
	}
	if k.String() == "enter" && m.fresh() && !all.Closed() {
		m.tellChange()
		return nil
	}
	m.ignored = ""
	if m.quiet.Asks != "" {
		m.quiet = screen.Notice{}
	}
	taken := m.play.taken
	cmd, ok := all.Press(&env.Context, k.KeyMsg)
	if taken && m.play.taken {
		m.begun()
	}
	if !ok {
		return screen.Say(m.words.Say("foot.no-key"))
	}
	return cmd
}

func (m *Model) anythingRuns() bool {
	for i := range m.shown.Batches {
		if b := &m.shown.Batches[i]; b.Fate == line.OnLine && b.Step.Active() {
			return true
		}
	}
	return len(m.shown.Chores) > 0
}
