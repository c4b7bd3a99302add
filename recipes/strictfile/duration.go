package strictfile

import (
	"math"
	"regexp"
	"shedbell/line/say"
	"strings"
	"time"
)

// LongestDuration is the longest time that a file may give for one step. A
// processing day has no step that runs longer than a day.
const LongestDuration = 24 * time.Hour

// Duration is a time in a file, written like "3m30s", "90s" or "1h30m". Whole
// seconds only; a number without a unit is refused, as nobody can know whether
// minutes or seconds were meant.
type Duration time.Duration

var bareNumber = regexp.MustCompile(`^[+-]?[0-9][0-9_]*(\.[0-9]+)?$`)

// UnmarshalText reads one duration; its errors are *BadValue.
func (d *Duration) UnmarshalText(text []byte) error {
	s := strings.TrimSpace(string(text))
	if bareNumber.MatchString(s) {
		return &BadValue{say.New("fault.number-without"), say.New("fault.write-4m")}
	}
	v, err := time.ParseDuration(s)
	switch {
	case err != nil:
		return &BadValue{say.New("fault.not-time"), say.New("fault.write-like")}
	case v < 0:
		return &BadValue{say.New("fault.negative-time"), say.New("fault.give-time")}
	case v > LongestDuration:
		return &BadValue{say.New("fault.longer-than"), say.New("fault.give-time")}
	case v%time.Second != 0:
		return &BadValue{say.New("fault.part-second"), say.New("fault.give-whole-seconds")}
	}
	*d = Duration(v)
	return nil
}

// MarshalText writes the duration in the form UnmarshalText reads.
func (d Duration) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// String writes whole minutes as "22m", not "22m0s".
func (d Duration) String() string {
	s := time.Duration(math.Round(time.Duration(d).Seconds()) * float64(time.Second)).String()
	if strings.HasSuffix(s, "m0s") {
		s = strings.TrimSuffix(s, "0s")
	}
	if strings.HasSuffix(s, "h0m") {
		s = strings.TrimSuffix(s, "0m")
	}
	return s
}
