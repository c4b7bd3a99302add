package uitest_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/linetest"
	"shedbell/line/rehearse"
	"shedbell/line/say"
	"shedbell/recipes"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/uitest"
	"shedbell/ui/words"
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
		return screen.Forecast{Stuck: err}
	}
	return screen.Forecast{Known: true, Done: res.Finish, Sure: res.Finish.Add(time.Hour), Steps: res.Steps}
}

// anyShed draws a shed, a day that may be open, and preferences.
func anyShed(rt *rapid.T) uitest.Options {
	o := uitest.Options{W: 80, H: 24, Theme: rapid.SampledFrom(theme.Names()).Draw(rt, "theme"), ASCII: rapid.Bool().Draw(rt, "ascii")}
	o.Prefs.Language = rapid.SampledFrom(say.Languages()).Draw(rt, "language")
	o.Prefs.Trainee = rapid.Bool().Draw(rt, "trainee")
	o.Demo, o.Practice = rapid.Bool().Draw(rt, "demo"), rapid.Bool().Draw(rt, "practice")
	sheet := linetest.Sheet()
	switch rapid.IntRange(0, 2).Draw(rt, "shed") {
	case 1:
		book := recipes.Starters()
		o.Site, o.Book, o.Suggest = files.Starter(), &book, files.StarterDay(linetest.Morning)
		sheet = *o.Suggest
	case 2:
		o.Site, o.Book, sheet = awkward()
	}
	if rapid.Bool().Draw(rt, "day open") {
		o.Sheet = &sheet
	}
	if rapid.Bool().Draw(rt, "forecast") {
		o.Forecast = calm
	}
	return o
}

// awkward is the test shed with names that are long, wide, and joined of several
// characters.
func awkward() (*line.Site, *recipes.Book, line.Sheet) {
	const long = " 菜豆 e\u0301 👩‍🌾 that somebody has named at very great length after a wet afternoon"
	site, sheet := linetest.Site(), linetest.Sheet()
	site.Name += long
	for i := range site.Stations {
		site.Stations[i].Name += long
	}
	for i := range site.Panel.Circuits {
		site.Panel.Circuits[i].Name += long
	}
	for i := range site.Panel.Loads {
		site.Panel.Loads[i].Name += long
	}
	old := linetest.Book()
	book := recipes.NewBook()
	for _, crop := range old.Crops() {
		r, _ := old.Current(crop)
		r.Crop += long
		book = book.With(r)
	}
	for i := range sheet.Crops {
		sheet.Crops[i].Crop += long
	}
	sheet.Apart = nil
	return site, &book, sheet
}

// Whatever is pressed, in whatever shed, theme and language, however the terminal is
// resized and however long nobody looks: nothing panics, every frame fills the
// terminal cell by cell, and back on the board the next action is to be read.
func TestAnyKeysAtAnySize(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := uitest.New(rt, anyShed(rt))
		d.Work(rapid.IntRange(0, 60).Draw(rt, "worked"))
		for range rapid.IntRange(1, 50).Draw(rt, "steps") {
			switch rapid.IntRange(0, 10).Draw(rt, "what") {
			case 0:
				d.Resize(rapid.IntRange(1, 300).Draw(rt, "w"), rapid.IntRange(1, 90).Draw(rt, "h"))
			case 1:
				d.Skip(time.Duration(rapid.IntRange(0, 1800).Draw(rt, "seconds")) * time.Second)
			case 2:
				d.Work(rapid.IntRange(1, 5).Draw(rt, "prompts"))
			case 3: // a question about a slot, which keys at random seldom come to
				n := rapid.SampledFrom([]string{"1", "2", "3", "4", "5"}).Draw(rt, "station")
				d.Press("esc", "esc", n, n, rapid.SampledFrom([]string{"1", "2", "3"}).Draw(rt, "slot"),
					rapid.SampledFrom([]string{".", "a", "b", "m", "s", "x", "enter"}).Draw(rt, "question"))
			case 4: // any of the other screens
				d.Press("esc", "esc", "/", rapid.SampledFrom([]string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}).Draw(rt, "screen"))
			default:
				d.Press(anyKey.Draw(rt, "key"))
			}
			d.CheckFrame()
		}
		d.Press("esc", "esc", "esc", "esc")
		d.Resize(rapid.IntRange(20, 300).Draw(rt, "last w"), rapid.IntRange(5, 90).Draw(rt, "last h"))
		d.Pass(2 * time.Second) // what was done past the screens has come to them
		d.CheckFrame()
		nextIsShown(rt, d)
	})
}

// nextIsShown fails unless the next action stands on the board: its beginning at
// least, as much as a small terminal has room for, or drawn in large letters. The
// keys may have changed the language.
func nextIsShown(rt *rapid.T, d *uitest.Driver) {
	rt.Helper()
	screen := string(squeezed(d.Unicode()))
	if strings.Count(screen, "█")+strings.Count(screen, "▄") >= 30 {
		return
	}
	screen = laneEdges.Replace(screen) // a text goes on behind the edge of its next row
	for _, name := range say.Languages() {
		speaker, err := words.New(name, say.Prefs{})
		if err != nil {
			rt.Fatal(err)
		}
		text := speaker.Say("do.no-day")
		if prompts := line.Prompts(d.State(), d.Clock.Now(), nil); len(prompts) > 0 {
			text = speaker.Prompt(d.State(), &prompts[0]).Do
		} else if d.State().Sheet != nil {
			text = speaker.Say("do.idle")
		}
		texts := []string{text}
		for _, l := range (line.Advice{}).Lanes(d.State(), d.Clock.Now()) {
			if len(l.Next) > 0 { // who is free, of what comes
				texts = append(texts, speaker.Brief(d.State(), &l.Next[0])[1:])
			}
			switch { // who is at work hears of that, or of what comes before the work in hand is over
			case l.Busy:
				work, _ := speaker.Busy(d.State(), l.Now)
				texts = append(texts, work.Do)
			case l.Now != nil:
				texts = append(texts, speaker.Prompt(d.State(), l.Now).Do)
			}
		}
		for _, text := range texts {
			begins := squeezed(text)
			if strings.Contains(screen, string(begins[:min(len(begins), 8)])) {
				return
			}
		}
	}
	rt.Fatalf("the next action is not on the screen:\n%s", d.Screen())
}

// laneEdges takes the edges of lanes away.
var laneEdges = strings.NewReplacer("▏", "", "▌", "", "█", "")

// squeezed is a text without its spaces.
func squeezed(text string) []rune { return []rune(strings.Join(strings.Fields(text), "")) }

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
