package app

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
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

// listAlarms derives the alarms that are in sight.
func (m *Model) listAlarms() {
	m.alarms = m.alarms[:0:0]
	for _, a := range line.Alarms(m.shown, m.now) {
		if mark := m.shown.Mark(a.ID()); !m.now.Before(mark.Shelved) {
			m.alarms = append(m.alarms, screen.Alarm{Alarm: a, Mark: mark})
		}
	}
}

// attention raises new alarms and rings while nobody takes note. An alarm rings
// once, and again after its pause: it does not chatter.
func (m *Model) attention() {
	var loudest *screen.Alarm
	for i := range m.alarms {
		a := &m.alarms[i]
		if a.Priority > line.Soon || !a.Mark.Acked.IsZero() {
			continue
		}
		if loudest == nil {
			loudest = a // the most pressing come first
		}
		if a.Mark.Raised.IsZero() && m.mayAct() {
			m.line.DoFor("", line.RaiseAlarm{ID: a.ID()})
			m.rung = time.Time{} // a new alarm does not wait for the pause of another
		}
	}
	if loudest == nil {
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

// hush takes note of all alarms from any screen. That is no answer to the screen.
func (m *Model) hush() tea.Cmd {
	cmd := m.do(line.AckAlarms{}, "")
	m.result = nil
	return cmd
}
