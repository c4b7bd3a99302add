package files

import (
	"fmt"
	"strings"
	"time"

	"shedbell/recipes/strictfile"
)

// StartTime is how long a motor takes to start: the one time on the line that is
// shorter than a second, written like "0.6s".
type StartTime time.Duration

// UnmarshalText reads one start; its errors are *strictfile.BadValue.
func (s *StartTime) UnmarshalText(text []byte) error {
	d, err := time.ParseDuration(string(text))
	switch {
	case err != nil:
		return &strictfile.BadValue{Problem: "not a time", Mend: `write it like "0.6s"`}
	case d < 0:
		return &strictfile.BadValue{Problem: "negative time", Mend: `give a time like "0.6s"`}
	}
	*s = StartTime(d)
	return nil
}

// String writes seconds exactly; a float would lose the last digits.
func (s StartTime) String() string {
	whole, rest := time.Duration(s)/time.Second, time.Duration(s)%time.Second
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%d.%09d", whole, rest), "0"), ".") + "s"
}

// calendarDate is midnight of a day, in UTC as the file names no zone.
type calendarDate struct{ time.Time }

// UnmarshalText reads one date; its errors are *strictfile.BadValue.
func (d *calendarDate) UnmarshalText(text []byte) error {
	t, err := time.Parse(time.DateOnly, string(text))
	switch {
	case err != nil && strings.Contains(err.Error(), "out of range"):
		return &strictfile.BadValue{Problem: "there is no such date", Mend: "give year-month-day of a real day, like 2026-12-03"}
	case err != nil:
		return &strictfile.BadValue{Problem: "not a date", Mend: "write year-month-day, like 2026-12-03"}
	case t.Year() < 2000 || t.Year() > 2199:
		return &strictfile.BadValue{Problem: "out of range", Mend: "give a year from 2000 to 2199"}
	}
	d.Time = t
	return nil
}

// clockTime is a time of day, with a date of its own where a day runs past
// midnight.
type clockTime struct {
	clock time.Time // on the date, or on the zero year's first day
	dated bool
}

// UnmarshalText reads one time of day; its errors are *strictfile.BadValue.
func (c *clockTime) UnmarshalText(text []byte) error {
	s := strings.Replace(string(text), " ", "T", 1)
	for _, layout := range []string{time.TimeOnly, "15:04", "2006-01-02T15:04:05", "2006-01-02T15:04"} {
		t, err := time.Parse(layout, s)
		if err != nil {
			continue
		}
		if t.Nanosecond() != 0 {
			return &strictfile.BadValue{Problem: "part of a second", Mend: "give whole seconds"}
		}
		*c = clockTime{clock: t, dated: strings.Contains(layout, "T")}
		return nil
	}
	return &strictfile.BadValue{Problem: "not a time of day", Mend: "write hours:minutes:seconds, like 07:30:00"}
}

// on puts the time of day on a date in a zone. It reports false for a time that
// the clocks jump over on that day.
func (c clockTime) on(date time.Time, loc *time.Location) (time.Time, bool) {
	if c.dated {
		date = c.clock
	}
	h, m, s := c.clock.Clock()
	t := time.Date(date.Year(), date.Month(), date.Day(), h, m, s, 0, loc)
	gotH, gotM, gotS := t.Clock()
	return t, gotH == h && gotM == m && gotS == s
}
