package app

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// Ring alerts people by sound: the terminal's bell, a notification, a command of
// their own. It must not block.
type Ring func(prefs screen.Prefs, p line.Priority, text string)

// How often an alarm that nobody has taken note of rings again. Greens that spoil
// ring more often than a machine that waits.
const (
	ringUrgent = 30 * time.Second
	ringSoon   = 2 * time.Minute
)

// listAlarms derives the alarms that are in sight. When one that was noted calls again,
// all that stand do so together.
func (m *Model) listAlarms() {
	m.alarms = m.alarms[:0:0]
	recalls := false
	for _, a := range line.Alarms(m.shown, m.now) {
		mark := m.shown.Mark(a.ID())
		if m.now.Before(mark.Shelved) {
			continue
		}
		m.alarms = append(m.alarms, screen.Alarm{Alarm: a, Mark: mark})
		recalls = recalls || a.Priority <= line.Soon && !mark.Acked.IsZero() && !mark.Noted(m.now)
	}
	for i := range m.alarms {
		m.alarms[i].Noted = m.alarms[i].Mark.Noted(m.now) && !recalls
	}
}

// shownAlarm is the alarm of the alarm row: the most pressing that nobody has taken
// note of, else the most pressing. What is only good to know stays where it stands.
func (m *Model) shownAlarm() *screen.Alarm {
	var noted *screen.Alarm
	for i := range m.alarms {
		switch a := &m.alarms[i]; {
		case a.Priority > line.Soon:
		case !a.Noted:
			return a
		case noted == nil:
			noted = a
		}
	}
	return noted
}

// noteRisks keeps which due times are likely to be missed as the forecast has them, so
// that there is an alarm.
func (m *Model) noteRisks() {
	for _, r := range m.forecast.Dues {
		if r.Slack() >= 0 {
			r.Sure, r.First, r.Costs = time.Time{}, time.Time{}, 0
		}
		c := line.NoteRisk{Risk: r}
		if _, no := line.Decide(m.line.State(), c, m.line.Now()); no == nil && m.mayAct() {
			m.line.DoFor("", c)
		}
	}
}

// attention raises new alarms and rings while nobody takes note. An alarm rings
// once, and again after its pause: it does not chatter.
func (m *Model) attention() {
	for i := range m.alarms {
		a := &m.alarms[i]
		if a.Priority <= line.Soon && !a.Noted && a.Mark.Raised.IsZero() && m.mayAct() {
			m.line.DoFor("", line.RaiseAlarm{ID: a.ID()})
			m.rung = time.Time{} // a new alarm does not wait for the pause of another
		}
	}
	loudest := m.shownAlarm() // the most pressing come first
	if loudest == nil || loudest.Noted {
		m.rung = time.Time{}
		return
	}
	pause := ringSoon
	if loudest.Priority == line.Urgent {
		pause = ringUrgent
	}
	if m.now.Sub(m.rung) < pause {
		return
	}
	m.rung = m.now
	if m.opt.Ring != nil && !m.opt.Prefs.Silent(m.now) {
		m.opt.Ring(m.opt.Prefs, loudest.Priority, m.words.Alarm(m.shown, &loudest.Alarm, m.now))
	}
}

// mayAct says whether this screen may put something to the line by itself.
func (m *Model) mayAct() bool { return m.waiting == 0 && !m.watching().On() }

// keyHush takes note of the alarm that the row shows; once all are noted, it lists them.
func (m *Model) keyHush() act.Action {
	a := m.shownAlarm()
	if a != nil && a.Noted {
		return screen.KeyHush.Does("does.alarms").Tell(screen.OpenMsg{Name: screen.Alarms})
	}
	ack := line.AckAlarms{}
	if a != nil {
		ack.IDs = []line.AlarmID{a.ID()}
	}
	return screen.KeyHush.Send(ack).Tell(screen.HushMsg{})
}

// hush takes note of the alarm shown, from any screen, and stops the sound. That is no
// answer to the screen.
func (m *Model) hush() tea.Cmd {
	a := m.shownAlarm()
	if a != nil && a.Noted {
		return m.open(screen.OpenMsg{Name: screen.Alarms})
	}
	ack := line.AckAlarms{}
	if a != nil {
		ack.IDs = []line.AlarmID{a.ID()}
	}
	m.rung = m.now
	cmd := m.do(ack, "")
	m.result = nil
	return cmd
}

// drawAlarm fills the alarm row, on every screen the same one, where there is an alarm.
// Nothing moves for it.
func (m *Model) drawAlarm(env *screen.Env, r canvas.Region) {
	a := m.shownAlarm()
	if a == nil || r.H < 2 {
		return
	}
	role, mark, state := theme.Soon, r.Theme().Glyphs.Soon, m.words.Say("alarm.silence")
	if a.Priority == line.Urgent {
		role, mark = theme.Urgent, r.Theme().Glyphs.Now
		if !a.Noted && m.now.Second()%2 == 1 {
			mark = r.Theme().Glyphs.InTurn
		}
	}
	if a.Noted {
		role, state = theme.Text, m.words.Say("alarm.noted", m.words.TimeOfDay(a.Mark.Acked, ""))
	}
	more := -1
	for i := range m.alarms {
		if m.alarms[i].Priority <= line.Soon {
			more++
		}
	}
	text := mark + " " + m.words.Alarm(m.shown, &a.Alarm, m.now)
	if all := m.words.Say("alarm.more", more, state); more > 0 && canvas.Width(all)+canvas.Width(text)+4 <= r.W {
		state = all
	}
	r = r.Rows(screen.AlarmY(env.Size), 1)
	r.Fill(role, " ")
	x := r.W - 1 - canvas.Width(state)
	r.Put(x, 0, role, state)
	r.Sub(0, 0, x-2, 1).Put(1, 0, role, text)
}
