package line

import (
	"strings"
	"time"

	"shedbell/line/say"
)

// StepTime is how long one piece of work by hand took, as somebody wrote it down on a sheet
// of their own.
type StepTime struct {
	Date    string // ISO 8601
	Station string // as Station.PaceName has it
	Crop    string `json:",omitempty"` // empty: of no crop
	Person  string `json:",omitempty"` // empty: nobody is named
	Trays   int
	Took    time.Duration
}

// KeepTimes takes times over that were kept by hand before the board kept them. They are
// learned from like those of the board, and change nothing else.
type KeepTimes struct{ Times []StepTime }

// TimesKept are such times.
type TimesKept struct{ Times []StepTime }

// Work by hand takes between a twentieth of what the line file says and twenty times that;
// anything else was written down wrongly (common practice, no source).
const implausible = 20

// PacedBy is the station of a name in paces.
func (s *Site) PacedBy(name string) (*Station, bool) {
	for i := range s.Stations {
		if st := &s.Stations[i]; st.PaceName() == name && st.PerTray > 0 {
			return st, true
		}
	}
	return nil, false
}

// Fault is why a time cannot be taken over; nil: it can.
func (t *StepTime) Fault(s *State, now time.Time) *Refusal {
	st, ok := s.Site.PacedBy(t.Station)
	_, known := s.Recipe(t.Crop)
	at, err := time.Parse(time.DateOnly, t.Date)
	switch {
	case err != nil || at.Format(time.DateOnly) > now.Format(time.DateOnly):
		return refuse(RuleValue, "line.time-date", printable(t.Date))
	case !ok:
		return refuse(RuleUnknown, "line.time-station", printable(t.Station))
	case t.Crop != "" && !known:
		return refuse(RuleUnknown, "line.no-recipe", say.Crop(printable(t.Crop)))
	case unfit(t.Person) || strings.TrimSpace(t.Person) != t.Person:
		return refuse(RuleValue, "line.time-person")
	case t.Trays < 1 || t.Trays > MaxDayTrays:
		return refuse(RuleValue, "line.time-trays", t.Trays, MaxDayTrays)
	}
	usual := st.PerTray * time.Duration(t.Trays)
	if t.Took <= usual/implausible || t.Took >= usual*implausible {
		return refuse(RuleValue, "line.time-took", t.Took.Minutes(), usual.Minutes())
	}
	return nil
}

func (c KeepTimes) decide(d *draft) *Refusal {
	if len(c.Times) == 0 {
		return refuse(RuleNothing, "line.so-already")
	}
	for i := range c.Times {
		if no := c.Times[i].Fault(d.s, d.now); no != nil {
			return no
		}
	}
	d.emit(TimesKept(c))
	return nil
}

// Only what is learned shows it.
func (TimesKept) apply(*State, Record) {}
