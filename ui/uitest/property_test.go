package uitest_test

import (
	"context"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/linetest"
	"shedbell/line/rehearse"
	"shedbell/recipes"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/uitest"
)

var anyKey = rapid.SampledFrom([]string{
	"enter", "enter", "enter", "1", "2", "3", "4", "5", "6", "7", "8", "9", "0", "+", "-", ".", "/", "?", "*",
	"esc", "up", "down", "left", "right", "tab", "backspace", "pgup", "pgdown", "home", "end", " ",
	"a", "b", "d", "h", "l", "m", "o", "p", "r", "s", "u", "x", "z", "Ü", "菜", "\u0301",
})

// calm forecasts the day as a rehearsal without delays has it.
func calm(s *line.State, now time.Time) screen.Forecast {
	res, err := rehearse.Run(context.Background(), s, now, rehearse.Options{})
	if err != nil {
		return screen.Forecast{Stuck: err.Error()}
	}
	return screen.Forecast{Known: true, Done: res.Finish, Sure: res.Finish.Add(time.Hour), Steps: res.Steps}
}

// Whatever is pressed, however the terminal is resized and however long nobody
// looks, nothing panics and every frame fills the terminal cell by cell.
func TestAnyKeysAtAnySize(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		o := uitest.Options{W: 80, H: 24, Theme: rapid.SampledFrom(theme.Names()).Draw(rt, "theme"), ASCII: rapid.Bool().Draw(rt, "ascii")}
		if rapid.Bool().Draw(rt, "starter shed") {
			book := recipes.Starters()
			o.Site, o.Book, o.Suggest = files.Starter(), &book, files.StarterDay(linetest.Morning)
		}
		o.Demo, o.Practice = rapid.Bool().Draw(rt, "demo"), rapid.Bool().Draw(rt, "practice")
		if rapid.Bool().Draw(rt, "day open") {
			sheet := linetest.Sheet()
			if o.Suggest != nil {
				sheet = *o.Suggest
			}
			o.Sheet = &sheet
		}
		if rapid.Bool().Draw(rt, "forecast") {
			o.Forecast = calm
		}
		d := uitest.New(rt, o)
		d.Work(rapid.IntRange(0, 60).Draw(rt, "worked"))
		for range rapid.IntRange(1, 60).Draw(rt, "steps") {
			switch rapid.IntRange(0, 9).Draw(rt, "what") {
			case 0:
				d.Resize(rapid.IntRange(1, 220).Draw(rt, "w"), rapid.IntRange(1, 70).Draw(rt, "h"))
			case 1:
				d.Skip(time.Duration(rapid.IntRange(0, 1800).Draw(rt, "seconds")) * time.Second)
			case 2:
				d.Work(rapid.IntRange(1, 5).Draw(rt, "prompts"))
			case 3: // a question about a slot, which keys at random seldom come to
				n := rapid.SampledFrom([]string{"1", "2", "3", "4", "5"}).Draw(rt, "station")
				d.Press("esc", "esc", n, n, rapid.SampledFrom([]string{"1", "2", "3"}).Draw(rt, "slot"),
					rapid.SampledFrom([]string{".", "a", "b", "m", "s", "x", "enter"}).Draw(rt, "question"))
			default:
				d.Press(anyKey.Draw(rt, "key"))
			}
			d.CheckFrame()
		}
	})
}

// Sizes at the edges of what a terminal can report.
func TestTinyAndHugeTerminals(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	for _, open := range [][]string{nil, {"/"}, {"?"}, {"x", "l"}, {"0", "d"}, {"esc", "1", "1"}} {
		d.Press(open...)
		for _, size := range [][2]int{{1, 1}, {2, 2}, {3, 9}, {9, 3}, {10, 10}, {59, 19}, {300, 90}, {400, 1}, {1, 200}} {
			d.Resize(size[0], size[1])
			d.CheckFrame()
		}
	}
}
