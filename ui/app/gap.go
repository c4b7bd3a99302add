package app

import (
	"shedbell/line"
	"shedbell/ui/pages"
	"shedbell/ui/screen"
)

// interruption opens the list of what was running as soon as a step waits for word
// of it, and leaves it when the last one has been answered for. Who puts it off
// finds it among the screens.
func (m *Model) interruption() {
	waits := pages.AnyInterrupted(m.words, m.shown)
	mine := !m.watching().On()
	switch {
	case waits && !m.waits && mine && !m.actions(m.env(), m.active).Closed():
		m.active = screen.Recovery
	case !waits && m.waits && m.active == screen.Recovery:
		m.active = screen.Board
	}
	m.waits = waits
}

// hear says what the line has recorded by itself since the last frame: a clock that
// was set, a time in which nobody watched.
func (m *Model) hear() {
	if s := m.line.Saving(); m.troubled && s.Problem == nil && s.Pending == 0 {
		m.troubled = false
		m.say(m.words.Say("frame.saved-again"), false)
	}
	history := m.line.History()
	for i := len(history) - 1; i >= 0 && m.heard >= 0 && history[i].Seq > m.heard; i-- {
		switch history[i].Event.(type) {
		case line.ClockJumped, line.ClockFollowed, line.WatchLost:
			m.say(m.words.Event(m.shown, history[i]), false)
		case line.DayClosed:
			if m.coach.fold == nil {
				m.closed = true
			}
		}
	}
	if n := len(history); n > 0 {
		m.heard = max(m.heard, history[n-1].Seq)
	}
}

// told is the day's records as far as the screens may show them.
func (m *Model) told() []line.Record {
	history := m.line.History()
	n := len(history)
	for n > 0 && history[n-1].Seq > m.shown.Seq {
		n--
	}
	return history[:n]
}
