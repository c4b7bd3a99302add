package theme

import (
	"math"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/lucasb-eyer/go-colorful"
	"github.com/muesli/termenv"
)

// luminance is the relative luminance as WCAG 2.1 defines it, of an sRGB colour.
func luminance(c colorful.Color) float64 {
	linear := func(v float64) float64 {
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// contrast is the contrast ratio as WCAG 2.1 defines it.
func contrast(a, b colorful.Color) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func hex(t *testing.T, s string) colorful.Color {
	t.Helper()
	c, err := colorful.Hex(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Pairs whose contrast is widely published: #767676 is the lightest grey that passes
// on white and #777777 the darkest that fails (from memory, and computed again from
// the formula of WCAG 2.1); 21 to 1 is the most there is (WCAG 2.1, contrast ratio,
// note 1).
func TestContrastOfPublishedPairs(t *testing.T) {
	for _, tc := range []struct {
		a, b string
		want float64
	}{
		{"#ffffff", "#000000", 21}, {"#767676", "#ffffff", 4.54}, {"#777777", "#ffffff", 4.48},
		{"#ff0000", "#ffffff", 4.00}, {"#ff0000", "#000000", 5.25}, {"#123456", "#123456", 1},
	} {
		if got := contrast(hex(t, tc.a), hex(t, tc.b)); math.Abs(got-tc.want) > 0.005 {
			t.Errorf("%s on %s: %.3f, published %.2f", tc.a, tc.b, got, tc.want)
		}
	}
}

// leastContrast is what WCAG 2.1, success criterion 1.4.3, asks for text of any
// size.
const leastContrast = 4.5

// leastDrawn is the same for outlines and bars: success criterion 1.4.11.
const leastDrawn = 3

// needs is the contrast that a role has to keep; 0 for ornament.
func needs(role Role, p termenv.Profile) float64 {
	if part := Part(role - plainCount); role >= plainCount && part%partCount == Grain {
		if p == termenv.ANSI {
			return 0 // bars of so few colours have no parts of a cell
		}
		return leastDrawn
	}
	switch role {
	case Edge, Alarm:
		return leastDrawn
	case Rule:
		return 0
	}
	return leastContrast
}

// Every pair of text and background keeps the contrast in every theme with colours,
// also on terminals with 256 and 16 of them. For the 16 the palette is taken to be
// xterm's, and bold text to be drawn in the bright colour, as some terminals do, or
// not.
func TestEveryPairKeepsTheContrast(t *testing.T) {
	for _, name := range []Name{Dark, Light, Contrast} {
		for _, profile := range []termenv.Profile{termenv.TrueColor, termenv.ANSI256, termenv.ANSI} {
			for role, style := range styles(name, profile) {
				fore, back := colours(style)
				if fore == "" || back == "" || style.GetReverse() {
					t.Errorf("%s, role %d leaves a colour to the terminal", name, role)
					continue
				}
				ground := termenv.ConvertToRGB(profile.Color(back))
				for _, c := range drawn(profile.Color(fore), style.GetBold()) {
					if got, least := contrast(termenv.ConvertToRGB(c), ground), needs(Role(role), profile); got < least {
						t.Errorf("%s, role %d, %s: %v on %v has %.2f to 1", name, role, []string{"true colour", "256", "16"}[profile], c, profile.Color(back), got)
					}
				}
			}
		}
	}
}

// Grounds of alarms, loads and crops stand out from the ground of the screen as outlines
// do.
func TestGroundsStandOut(t *testing.T) {
	for _, name := range []Name{Dark, Light} {
		s := styles(name, termenv.TrueColor)
		_, screen := colours(s[Text])
		for _, role := range []Role{Urgent, Alert, Segment, Crop(0, Fill), Crop(1, Fill), Crop(2, Fill), Crop(3, Fill), Crop(4, Fill), Crop(5, Fill), Crop(6, Fill), Crop(7, Fill)} {
			if _, back := colours(s[role]); contrast(hex(t, back), hex(t, screen)) < leastDrawn {
				t.Errorf("%s: %s on %s has %.2f to 1", name, back, screen, contrast(hex(t, back), hex(t, screen)))
			}
		}
	}
}

func colours(s lipgloss.Style) (fore, back string) {
	f, _ := s.GetForeground().(lipgloss.Color)
	b, _ := s.GetBackground().(lipgloss.Color)
	return string(f), string(b)
}

// drawn lists the colours in which a terminal may draw text.
func drawn(c termenv.Color, bold bool) []termenv.Color {
	if ansi, ok := c.(termenv.ANSIColor); ok && bold && ansi < 8 {
		return []termenv.Color{ansi, ansi + 8}
	}
	return []termenv.Color{c}
}

// Mono leaves colours to the terminal: it has none of its own, and inverts at most.
func TestMonoHasNoColours(t *testing.T) {
	for role, style := range styles(Mono, termenv.Ascii) {
		if fore, back := colours(style); fore != "" || back != "" {
			t.Errorf("role %d has a colour", role)
		}
	}
}
