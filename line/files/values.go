package files

import (
	"fmt"
	"strings"
	"time"

	"shedbell/line/say"
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
		return &strictfile.BadValue{Problem: say.New("fault.not-time"), Mend: say.New("fault.write-like-06s")}
	case d < 0:
		return &strictfile.BadValue{Problem: say.New("fault.negative-time"), Mend: say.New("fault.give-time-like")}
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
		return &strictfile.BadValue{Problem: say.New("fault.there-no-such"), Mend: say.New("fault.give-year")}
	case err != nil:
		return &strictfile.BadValue{Problem: say.New("fault.not-date"), Mend: say.New("fault.write-year")}
	case t.Year() < 2000 || t.Year() > 2199:
		return &strictfile.BadValue{Problem: say.New("fault.out-range"), Mend: say.New("fault.give-year-2000")}
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
			return &strictfile.BadValue{Problem: say.New("fault.part-second"), Mend: say.New("fault.give-whole-seconds")}
		}
		*c = clockTime{clock: t, dated: strings.Contains(layout, "T")}
		return nil
	}
	return &strictfile.BadValue{Problem: say.New("fault.not-time-day"), Mend: say.New("fault.write-hours")}
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
