package canvas_test

import (
	"strings"
	"testing"

	"github.com/muesli/termenv"

	"shedbell/ui/canvas"
	"shedbell/ui/theme"
)

// The bar in ASCII: # runs now, . kept free, ~ the machine started last, | the
// breaker. Forty cells and a post stand for 20 A or, with a scale, 30 A.
func TestAmpsBar(t *testing.T) {
	for _, tc := range []struct {
		name string
		amps canvas.Amps
		want string
	}{
		{"running", canvas.Amps{Running: 5, Limit: 20}, strings.Repeat("#", 10) + strings.Repeat(" ", 30) + "|"},
		{"kept", canvas.Amps{Running: 5, Kept: 10, Limit: 20}, strings.Repeat("#", 10) + strings.Repeat(".", 20) + strings.Repeat(" ", 10) + "|"},
		{"starting", canvas.Amps{Running: 5, Start: 5, Limit: 20}, strings.Repeat("#", 10) + strings.Repeat("~", 10) + strings.Repeat(" ", 20) + "|"},
		{"start beyond the post", canvas.Amps{Running: 5, Start: 40, Limit: 20}, strings.Repeat("#", 10) + strings.Repeat("~", 30) + "|"},
		{"a little is not nothing", canvas.Amps{Running: 0.1, Limit: 20}, "#" + strings.Repeat(" ", 39) + "|"},
		{"scale", canvas.Amps{Running: 15, Start: 15, Limit: 20, Scale: 40}, strings.Repeat("#", 15) + strings.Repeat("~", 5) + "|" + strings.Repeat("~", 9) + strings.Repeat(" ", 11)},
		{"beyond the scale", canvas.Amps{Running: 15, Start: 90, Limit: 20, Scale: 40}, strings.Repeat("#", 15) + strings.Repeat("~", 5) + "|" + strings.Repeat("~", 20)},
		{"no limit", canvas.Amps{Running: 15}, strings.Repeat(" ", 41)},
	} {
		t.Run(tc.name, func(t *testing.T) {
			c := canvas.New(41, 1, theme.New(theme.Options{Name: theme.Mono, ASCII: true, Profile: termenv.Ascii}))
			canvas.AmpsBar(c.All(), tc.amps)
			if got := c.String(); got != tc.want {
				t.Errorf("\n%q, want\n%q", got, tc.want)
			}
		})
	}
}
