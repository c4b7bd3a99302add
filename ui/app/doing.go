package app

import (
	"context"
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
)

func (m *Model) say(text string, refused bool) {
	m.quiet = screen.Notice{At: m.now, Text: text, Refused: refused}
}

// doAll puts commands to the line, one after the other until one is refused.
func (m *Model) doAll(commands []line.Command) tea.Cmd {
	for i, c := range commands {
		if i == len(commands)-1 {
			return m.do(c, m.whose(commands))
		}
		if _, _, no := m.line.DoFor(m.whose(commands), c); no != nil {
			m.say(m.words.Refusal(no), true)
			return nil
		}
	}
	return nil
}

// whose is for whom commands that are sent together are recorded: the person in whose
// lane the last of them stands that is in one.
func (m *Model) whose(commands []line.Command) string {
	for _, c := range slices.Backward(commands) {
		if who := line.ActsFor(m.lanes, m.shown, c); who != "" {
			return who
		}
	}
	return ""
}

// do puts a command to the line and waits for the disk before it shows the result.
func (m *Model) do(c line.Command, who string) tea.Cmd {
	before := m.line.State()
	after, records, no := m.line.DoFor(who, c)
	m.now = m.line.Now()
	result := screen.ResultMsg{Command: c, Refusal: no}
	if no != nil {
		m.say(m.words.Refusal(no), true)
		m.waiting = after.Seq // the refusal is kept for the records
		return tea.Batch(m.await(after.Seq), m.set[m.active].Update(m.env(), result))
	}
	for _, r := range records {
		if text := m.words.Event(before, r); text != "" {
			m.done = text // said when it is on the disk
		}
		before = line.Apply(before, r)
	}
	m.askForAir(c, after)
	if _, fix := c.(line.Correct); fix {
		m.focus = screen.Focus{} // a question about what was running comes first
	}
	m.waiting, m.result = after.Seq, &result
	return m.await(after.Seq)
}

// askForAir asks once, when a day is opened, for the air that dry times can follow.
func (m *Model) askForAir(c line.Command, s *line.State) {
	if _, ok := c.(line.OpenDay); !ok {
		return
	}
	if _, known := s.AirNow(m.now); !known {
		m.done += m.words.Say("frame.type-air")
	}
}

type (
	savedMsg struct {
		seq int64
		err error
	}
	lateMsg struct{ seq int64 }
)

func (m *Model) await(seq int64) tea.Cmd {
	return tea.Batch(
		func() tea.Msg { return savedMsg{seq, m.line.Wait(context.Background(), seq)} },
		m.opt.Tick(graceTime, func(time.Time) tea.Msg { return lateMsg{seq} }),
	)
}

func (m *Model) saved(msg savedMsg) tea.Cmd {
	if msg.err != nil {
		m.say(m.words.Say("frame.not-saved", msg.err.Error()), true)
		m.troubled = true
		m.done = ""
	}
	switch {
	case m.waiting == 0:
		m.shown = m.line.State()
		m.refresh()
	case msg.seq >= m.waiting:
		return m.settle()
	}
	return nil // a later action is on its way to the disk, and not to be shown yet
}

// settle shows the line as it is now and lets the keys that were pressed meanwhile
// through.
func (m *Model) settle() tea.Cmd {
	m.waiting = 0
	if m.done != "" {
		if !m.lectures() {
			m.say(m.done, false)
		}
		m.done = ""
	}
	m.shown = m.line.State()
	m.refresh()
	var told tea.Cmd
	if m.result != nil { // a form must not close before the line shows what it did
		result := *m.result
		m.result = nil
		told = m.set[m.active].Update(m.env(), result)
	}
	return tea.Batch(told, m.dayOver(), m.repair(), m.reforecast(true), m.pressed())
}
