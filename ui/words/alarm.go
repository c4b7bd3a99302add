package words

import (
	"strings"
	"time"

	"shedbell/line"
)

// Alarm says in words what an alarm is about and what to do.
func (t *Speaker) Alarm(s *line.State, a *line.Alarm, now time.Time) string {
	who := ""
	if b := s.Batch(a.Batch); b != nil {
		who = b.Caps()
	} else if a.Place.Station >= 0 {
		who = strings.ToUpper(s.PlaceName(a.Place))
	}
	since := Clock(max(0, now.Sub(a.Since)))
	switch a.Kind {
	case line.AlarmTripped:
		return t.Say("alarm.tripped", s.Site.Panel.Circuits[a.Circuit].Name, since)
	case line.AlarmInterrupted:
		return t.Say("alarm.interrupted", who, s.PlaceName(a.Place), since)
	case line.AlarmWet:
		if a.Until.IsZero() {
			return t.Say("alarm.wet", who, since)
		}
		return t.Say("alarm.wet-limit", who, since, Clock(a.Until.Sub(a.Since)))
	case line.AlarmLong:
		return t.Say("alarm.long", who, s.PlaceName(a.Place), Clock(s.StepAt(a.Place).Ran(now)))
	case line.AlarmOverdue:
		if a.Load == line.NoLoad {
			return t.Say("alarm.over", who, s.PlaceName(a.Place), since)
		}
		return t.Say("alarm.over-on", who, s.PlaceName(a.Place), since, strings.ReplaceAll(s.Site.Panel.Loads[a.Load].Name, "-", " "))
	}
	return who
}
