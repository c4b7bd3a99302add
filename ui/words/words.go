// Package words turns the line's state and prompts into the sentences that people
// read: verb first, batch in capitals, short enough to be read once.
package words

import (
	"fmt"
	"time"
)

// Clock writes a duration as a countdown: 12:40, 1:02:03, -0:12.
func Clock(d time.Duration) string {
	sign := ""
	if d < 0 {
		sign, d = "-", -d
	}
	d = d.Truncate(time.Second)
	h, m, s := int(d.Hours()), int(d.Minutes())%60, int(d.Seconds())%60
	if h > 0 {
		return fmt.Sprintf("%s%d:%02d:%02d", sign, h, m, s)
	}
	return fmt.Sprintf("%s%d:%02d", sign, m, s)
}

// Left writes what a countdown shows. It rounds up, so that 0:00 means over.
func Left(d time.Duration) string {
	if d > 0 {
		d += time.Second - time.Nanosecond
	}
	return Clock(d)
}

// Count writes a number with its noun.
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Grams writes a weight in grams or kilograms.
func Grams(g float64) string {
	if g >= 1000 {
		return fmt.Sprintf("%.2f kg", g/1000)
	}
	return fmt.Sprintf("%.0f g", g)
}
