package app

import (
	"time"

	"shedbell/line"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// Ring alerts people by sound: the terminal's bell, a notification, a command of
// their own. It must not block.
type Ring func(p line.Priority, text string)

// How often an alarm that nobody has taken note of rings again. Greens that spoil
// ring more often than a machine that waits.
const (
	ringUrgent = 30 * time.Second
	ringSoon   = 2 * time.Minute
)

// attention derives the alarms, raises the new ones and rings while nobody takes
// note. An alarm rings once, and again after its pause: it does not chatter.
func (m *Model) attention() {
	m.alarms = m.alarms[:0]
	var loudest *line.Alarm
	for _, a := range line.Alarms(m.shown, m.now) {
		mark := m.shown.Mark(a.ID())
		if m.now.Before(mark.Shelved) {
			continue
		}
		m.alarms = append(m.alarms, screen.Alarm{Alarm: a, Mark: mark})
		if a.Priority > line.Soon || !mark.Acked.IsZero() {
			continue
		}
		if loudest == nil || a.Priority < loudest.Priority {
			loudest = &a
		}
		if mark.Raised.IsZero() && m.waiting == 0 && !m.opt.Viewer {
			m.line.Do(line.RaiseAlarm{ID: a.ID()})
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
		m.opt.Ring(loudest.Priority, words.Alarm(m.shown, loudest, m.now))
	}
}
