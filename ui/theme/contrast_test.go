package theme

import (
	"math"
	"testing"

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

// Every pair of text and background keeps the contrast in every theme with colours,
// also on terminals with 256 and 16 of them. For the 16 the palette is taken to be
// xterm's, and bold text to be drawn in the bright colour, as some terminals do, or
// not.
func TestEveryPairKeepsTheContrast(t *testing.T) {
	for _, name := range []Name{Dark, Light, Contrast} {
		for _, profile := range []termenv.Profile{termenv.TrueColor, termenv.ANSI256, termenv.ANSI} {
			for role, look := range table(name, profile) {
				if look.Fore == "" || look.Back == "" || look.Reverse {
					t.Errorf("%s, role %d leaves a colour to the terminal: %+v", name, role, look)
					continue
				}
				back := termenv.ConvertToRGB(profile.Color(look.Back))
				for _, fore := range drawn(profile.Color(look.Fore), look.Bold) {
					if got := contrast(termenv.ConvertToRGB(fore), back); got < leastContrast {
						t.Errorf("%s, role %d, %s: %v on %v has %.2f to 1", name, role, []string{"true colour", "256", "16"}[profile], fore, profile.Color(look.Back), got)
					}
				}
			}
		}
	}
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
	for role, look := range looks(Mono) {
		if look.Fore != "" || look.Back != "" {
			t.Errorf("role %d has a colour: %+v", role, look)
		}
	}
}
