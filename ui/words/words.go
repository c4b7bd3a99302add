// Package words turns the line's state and prompts into the sentences that people
// read: verb first, batch in capitals, short enough to be read once.
package words

import (
	"time"

	"shedbell/line/say"
)

// Clock writes a duration as a countdown: 12:40, 1:02:03, -0:12. It drops parts of a
// second.
func Clock(d time.Duration) string { return say.Clock(d).String() }

// Left writes what a countdown shows. It rounds up, so that 0:00 means over.
func Left(d time.Duration) string {
	if d > 0 {
		d += time.Second - time.Nanosecond
	}
	return Clock(d)
}
