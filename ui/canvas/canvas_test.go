package canvas_test

import (
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"pgregory.net/rapid"

	"shedbell/ui/canvas"
	"shedbell/ui/theme"
)

// Text of any script: combining marks, wide characters, joined emoji, controls.
var anyText = rapid.StringOf(rapid.OneOf(
	rapid.SampledFrom([]rune("abc XYZ 0189 éñ…━█ 菜豆ｶ \u0301\u200d\ufe0f👩🌱🇪🇸\t\x1b[1m\u202e\u009b")), rapid.Rune()))

// Whatever is written wherever, each line is exactly as wide as the sheet, and a
// terminal with nothing but ASCII gets nothing else.
func TestEveryLineIsAsWideAsTheSheet(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w, h := rapid.IntRange(0, 40).Draw(rt, "w"), rapid.IntRange(0, 6).Draw(rt, "h")
		ascii := rapid.Bool().Draw(rt, "ascii")
		c := canvas.New(w, h, theme.New(theme.Options{Name: theme.Mono, ASCII: ascii, Profile: termenv.Ascii}))
		at := rapid.IntRange(-3, 45)
		for range rapid.IntRange(1, 8).Draw(rt, "texts") {
			r := c.All().Sub(at.Draw(rt, "left"), at.Draw(rt, "top"), at.Draw(rt, "width"), at.Draw(rt, "height"))
			x, y, text := at.Draw(rt, "x"), at.Draw(rt, "y"), anyText.Draw(rt, "text")
			switch rapid.IntRange(0, 3).Draw(rt, "how") {
			case 0:
				r.Put(x, y, theme.Text, text)
			case 1:
				r.PutRight(x, y, theme.Text, text)
			case 2:
				r.PutCenter(y, theme.Text, text)
			case 3:
				r.Wrapped(theme.Text, text)
			}
		}
		lines := strings.Split(c.String(), "\n")
		if len(lines) != max(h, 1) {
			rt.Fatalf("%d lines on a sheet of %d", len(lines), h)
		}
		for _, l := range lines {
			if got := canvas.Width(l); got != w && h > 0 {
				rt.Fatalf("%d cells on a sheet of %d: %q", got, w, l)
			}
			if i := strings.IndexFunc(l, func(r rune) bool { return r < ' ' || r > '~' }); ascii && i >= 0 {
				rt.Fatalf("not ASCII: %q", l)
			}
		}
	})
}

// What does not fit ends in an ellipsis and never in half a character. 菜 and 豆 are
// wide, that is two cells (Unicode Standard Annex 11, East Asian Width W).
func TestLongNamesAreCut(t *testing.T) {
	for _, tc := range []struct {
		text string
		w    int
		want string
	}{
		{"radish", 6, "radish"}, {"radish", 5, "radi…"}, {"菜豆", 4, "菜豆"}, {"菜豆", 3, "菜…"}, {"菜豆", 2, "… "}, {"e\u0301ee", 2, "e\u0301…"}, {"a", 0, ""},
	} {
		c := canvas.New(tc.w, 1, theme.New(theme.Options{Name: theme.Mono, Profile: termenv.Ascii}))
		c.All().Put(0, 0, theme.Text, tc.text)
		if got := c.String(); got != tc.want {
			t.Errorf("%q in %d cells is %q, want %q", tc.text, tc.w, got, tc.want)
		}
	}
}

// The likeness of letters that a terminal with nothing but ASCII does not have.
func TestLikenessInASCII(t *testing.T) {
	c := canvas.New(30, 1, theme.New(theme.Options{Name: theme.Mono, ASCII: true, Profile: termenv.Ascii}))
	c.All().Put(0, 0, theme.Text, "¿Señal a 24 °C? 菜 · más…")
	if got, want := strings.TrimRight(c.String(), " "), "Senal a 24 C? ?? . mas~"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
