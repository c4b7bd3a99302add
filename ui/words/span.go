package words

import (
	"fmt"
	"time"
)

// Span is a length of time as people say it, in its two largest units.
func Span(d time.Duration) string {
	d = d.Abs().Round(time.Second)
	day := 24 * time.Hour
	switch {
	case d < time.Minute:
		return fmt.Sprintf("%d s", d/time.Second)
	case d < time.Hour:
		return two(d, time.Minute, "min", time.Second, "s")
	case d < day:
		return two(d, time.Hour, "h", time.Minute, "min")
	case d < 2*day:
		return two(d, day, "day", time.Hour, "h")
	case d < 1000*day:
		return two(d, day, "days", time.Hour, "h")
	}
	return fmt.Sprintf("%d years", d/(365*day))
}

func two(d, large time.Duration, largeName string, small time.Duration, smallName string) string {
	text := fmt.Sprintf("%d %s", d/large, largeName)
	if rest := d % large / small; rest > 0 {
		text += fmt.Sprintf(" %d %s", rest, smallName)
	}
	return text
}
