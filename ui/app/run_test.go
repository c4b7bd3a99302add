package app

import (
	"testing"

	"github.com/muesli/termenv"

	"shedbell/line/linetest"
	"shedbell/line/live"
	"shedbell/ui/canvas"
	"shedbell/ui/theme"
)

// The terminal's answer, whenever it comes, makes the looks those of its background;
// one that nobody needs is not asked for.
func TestTheBackgroundIsAnswered(t *testing.T) {
	l, _, err := live.Open(&linetest.Memory{}, linetest.Site(), linetest.Book(), linetest.NewManual(linetest.Morning), "Ash")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	m := New(Options{Line: l, Theme: theme.Options{Name: theme.Auto, Profile: termenv.ANSI256}})
	for _, c := range []struct {
		osc  string
		want theme.Name
	}{{"11;rgb:ffff/ffff/ffff", theme.Light}, {"10;rgb:0000/0000/0000", theme.Light}, {"11;rgb:1e1e/1e1e/2e2e", theme.Dark},
		{"11;rgb:fd/f6/e3", theme.Light}, {"11;rgba:0000/0000/0000/ffff", theme.Dark}, {"11;", theme.Dark}, {"11;rgb:1", theme.Dark}, {"52;c;rgb:ffff/ffff/ffff", theme.Dark}} {
		if light, ok := canvas.BackgroundOf(c.osc); ok {
			m.Update(backgroundMsg{light})
		}
		if m.theme.Name != c.want {
			t.Errorf("after %q the theme is %s, want %s", c.osc, m.theme.Name, c.want)
		}
	}
	colours := theme.Options{Profile: termenv.TrueColor}
	for _, c := range []struct {
		look theme.Options
		env  map[string]string
		want bool
	}{{colours, map[string]string{"TERM": "xterm"}, true}, {colours, map[string]string{"TERM": "screen-256color"}, false}, {colours, map[string]string{"TERM": "tmux"}, false},
		{colours, map[string]string{"TERM": "xterm", "COLORFGBG": "15;0"}, false}, {theme.Options{Profile: termenv.Ascii}, map[string]string{"TERM": "xterm"}, false}} {
		if got := asksBackground(c.look, func(key string) string { return c.env[key] }); got != c.want {
			t.Errorf("%v %v asks: %v", c.look.Profile, c.env, got)
		}
	}
}
