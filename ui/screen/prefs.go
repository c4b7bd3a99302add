package screen

import (
	"fmt"
	"time"

	"shedbell/ui/theme"
)

// Prefs are the user's choices about how things are written, seen and heard.
type Prefs struct {
	Theme      theme.Name
	Language   string // of the texts; empty: English
	TwelveHour bool
	US         bool // ounces and degrees Fahrenheit
	Trainee    bool // prompts in full

	Mute      bool
	QuietFrom time.Duration // time of day from which it is silent
	QuietTo   time.Duration // and until which; equal to QuietFrom: never
	Notify    bool          // ask the terminal for a notification too
	Sound     []string      // a command of the user's own that makes a sound, with its arguments
}

// Silent says whether nothing may be heard at an instant.
func (p *Prefs) Silent(now time.Time) bool {
	if p.Mute || p.QuietFrom == p.QuietTo {
		return p.Mute
	}
	h, m, s := now.Clock()
	at := time.Duration(h)*time.Hour + time.Duration(m)*time.Minute + time.Duration(s)*time.Second
	if p.QuietFrom < p.QuietTo {
		return at >= p.QuietFrom && at < p.QuietTo
	}
	return at >= p.QuietFrom || at < p.QuietTo // over midnight
}

// Units of weight. The avoirdupois pound is 453.59237 g by definition (NIST
// Handbook 44, appendix C).
const (
	gramsPerOunce = 28.349523125
	ouncesInPound = 16
)

// Weight writes a weight in grams as the user likes it.
func (e *Env) Weight(g float64) string {
	if e.Tidy.US {
		if oz := g / gramsPerOunce; oz < ouncesInPound {
			return fmt.Sprintf("%.1f oz", oz)
		}
		return fmt.Sprintf("%.2f lb", g/gramsPerOunce/ouncesInPound)
	}
	if g >= 1000 {
		return fmt.Sprintf("%.2f kg", g/1000)
	}
	return fmt.Sprintf("%.0f g", g)
}

// Warmth writes a temperature in degrees Celsius as the user likes it.
func (e *Env) Warmth(c float64) string {
	if e.Tidy.US {
		return fmt.Sprintf("%.0f °F", c*9/5+32)
	}
	return fmt.Sprintf("%.1f °C", c)
}

// PrefsMsg asks the frame to take over and keep the user's choices.
type PrefsMsg struct{ Prefs Prefs }
