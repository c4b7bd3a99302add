package words_test

import (
	"testing"
	"time"

	"shedbell/ui/words"
)

func TestSpan(t *testing.T) {
	for d, want := range map[time.Duration]string{
		0:                           "0 s",
		-time.Hour:                  "1 h",
		59 * time.Second:            "59 s",
		10 * time.Minute:            "10 min",
		90 * time.Second:            "1 min 30 s",
		3*time.Hour + 4*time.Minute: "3 h 4 min",
		25 * time.Hour:              "1 day 1 h",
		72 * time.Hour:              "3 days",
		57 * 365 * 24 * time.Hour:   "57 years",
	} {
		if got := words.English().Span(d); got != want {
			t.Errorf("%s: %q, want %q", d, got, want)
		}
	}
}
