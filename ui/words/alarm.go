package words

import (
	"fmt"
	"strings"
	"time"

	"shedbell/line"
)

// Alarm says in words what an alarm is about and what to do.
func Alarm(s *line.State, a *line.Alarm, now time.Time) string {
	who := ""
	if b := s.Batch(a.Batch); b != nil {
		who = b.Shout()
	} else if a.Place.Station >= 0 {
		who = strings.ToUpper(s.PlaceName(a.Place))
	}
	since := Clock(max(0, now.Sub(a.Since)))
	switch a.Kind {
	case line.AlarmTripped:
		return fmt.Sprintf("BREAKER of %q tripped %s ago. Find out why before you reset it", s.Site.Panel.Circuits[a.Circuit].Name, since)
	case line.AlarmInterrupted:
		return fmt.Sprintf("%s at the %s: nobody watched for %s. Go on, start again, or done?", who, s.PlaceName(a.Place), since)
	case line.AlarmWet:
		return fmt.Sprintf("%s waits wet %s%s", who, since, wetLimit(a))
	case line.AlarmOverdue:
		text := fmt.Sprintf("%s at the %s: over for %s", who, s.PlaceName(a.Place), since)
		if a.Load != line.NoLoad {
			text += ", " + strings.ReplaceAll(s.Site.Panel.Loads[a.Load].Name, "-", " ") + " not confirmed off"
		}
		return text
	}
	return who
}

func wetLimit(a *line.Alarm) string {
	if a.Until.IsZero() {
		return ""
	}
	return fmt.Sprintf(", %s is the limit", Clock(a.Until.Sub(a.Since)))
}
