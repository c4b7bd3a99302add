package canvas

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/muesli/termenv"

	"shedbell/recipes/strictfile/fuzztest"
	"shedbell/ui/theme"
)

// FuzzText draws any text at any place. Every line stays as wide as the canvas, and
// nothing of what could steer a terminal is left.
func FuzzText(f *testing.F) {
	for _, s := range []string{"pea", "\x1b[31mred\x1b[0m", "\x1b]0;title\a", "\x9b2J", "\u009b2J", "\u202eabc", "a\nb\r\x00", "\x1bP0;0|17/17\x1b\\", "Ü菜\u0301\u200d👩\u200d🌾",
		"\ufe0f", "\u2028x\u2029", "\xc2", "🇩", "\U000e0041"} {
		f.Add(s, 3, 1, byte(30), false)
		f.Add(s, 7, 0, byte(9), true)
	}
	looks := map[bool]*theme.Theme{}
	for _, ascii := range []bool{false, true} {
		looks[ascii] = theme.New(theme.Options{Name: theme.Mono, Profile: termenv.Ascii, ASCII: ascii})
	}
	f.Fuzz(func(t *testing.T, text string, x, y int, width byte, ascii bool) {
		defer fuzztest.Bound(t)()
		w := int(width)%80 + 1
		c := New(w, 4, looks[ascii])
		r := c.All()
		r.Put(x, y, theme.Text, text)
		r.PutRight(x, y-1, theme.Text, text)
		r.PutCenter(3, theme.Text, text)
		r.Sub(1, 1, w/2, 2).Wrapped(theme.Text, text)
		lines := strings.Split(c.String(), "\n")
		if len(lines) != 4 {
			t.Fatalf("%d lines", len(lines))
		}
		for _, l := range lines {
			if Width(l) != w || !utf8.ValidString(l) || strings.ContainsFunc(l, isControl) {
				t.Errorf("%q, %d cells, want %d", l, Width(l), w)
			}
			if ascii && strings.ContainsFunc(l, notASCII) {
				t.Errorf("%q is not ASCII", l)
			}
		}
	})
}
