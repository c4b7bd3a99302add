package uitest_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

// masked are the screens, and how to come to them in a test shed.
var masked = []struct {
	name string
	keys []string
	open bool // a day is open
	work int  // prompts followed before
	do   func(d *uitest.Driver)

	trainee bool
}{
	{name: "board", open: true},
	{name: "board at work", open: true, work: 7},
	{name: "board at the end", open: true, work: 200},
	{name: "board without a day"},
	{name: "board, a station", open: true, work: 7, keys: []string{"2"}},
	{name: "large letters", open: true, work: 7, keys: []string{"f"}},
	{name: "board, started and undone", open: true, keys: []string{"enter", "0"}},
	{name: "board, too early", open: true, work: 3, keys: []string{"enter"}},
	{name: "board, nothing to hold", open: true, keys: []string{".", "+"}},
	{name: "board, packing", open: true, do: toPacking, keys: []string{"enter"}},
	{name: "board, late", open: true, work: 7, do: late},
	{name: "board, alarm silenced", open: true, work: 7, do: late, keys: []string{"*"}},
	{name: "alarms", open: true, work: 7, do: late, keys: []string{"*", "*", "*", "1"}},
	{name: "board, breaker tripped", open: true, work: 7, do: trip},
	{name: "board, leaving", open: true, work: 7, keys: []string{"q"}},
	{name: "lesson", open: true, work: 7, trainee: true},
	{name: "caution", open: true, do: toTub, keys: []string{"enter"}, trainee: true},
	{name: "menu", open: true, keys: []string{"/"}},
	{name: "help of the board", open: true, work: 7, keys: []string{"?"}},
	{name: "help of the menu", open: true, keys: []string{"/", "?"}},
	{name: "log", open: true, work: 60, keys: []string{"l"}},
	{name: "log, refusals", open: true, keys: []string{"l", "."}},
	{name: "help of the log", open: true, keys: []string{"l", "?"}},
	{name: "settings", open: true, keys: []string{"/", "8"}},
	{name: "help of the settings", open: true, keys: []string{"/", "8", "?"}},
	{name: "day form", keys: []string{"enter"}},
	{name: "day form, adding", open: true, work: 7, keys: []string{"d"}},
	{name: "help of the day form", keys: []string{"enter", "?"}},
	{name: "station", open: true, work: 7, keys: []string{"2", "2"}},
	{name: "cutting station", open: true, work: 7, keys: []string{"1", "1"}},
	{name: "drying station", open: true, work: 9, keys: []string{"4", "4"}},
	{name: "station, splitting", open: true, keys: []string{"1", "1", "2", "s"}},
	{name: "station, scrapping", open: true, keys: []string{"1", "1", "2", "x"}},
	{name: "station, sign-off", open: true, keys: []string{"2", "2", "o"}},
	{name: "station, merging", open: true, keys: []string{"1", "1", "2", "m"}},
	{name: "station, held", open: true, work: 7, keys: []string{"2", "2", ".", "a"}},
	{name: "station, broken", open: true, keys: []string{"2", "2", "b"}},
	{name: "help of the station", open: true, work: 7, keys: []string{"2", "2", "?"}},
	{name: "help of the recovery", open: true, work: 4, do: unwatched, keys: []string{"?"}},
	{name: "recovery", open: true, work: 4, do: unwatched},
	{name: "power", open: true, work: 7, keys: []string{"/", "1"}},
	{name: "day over", open: true, do: closed},
	{name: "plan", open: true, keys: []string{"/", "2"}},
	{name: "recipes", open: true, keys: []string{"/", "3"}},
	{name: "one recipe", open: true, keys: []string{"/", "3", "1"}},
	{name: "today's air", open: true, keys: []string{"/", "3", "."}},
	{name: "records", open: true, work: 60, keys: []string{"/", "4"}},
	{name: "records, more of the day", open: true, work: 60, do: fridge, keys: []string{"/", "4", "1", "pgdown", "pgdown"}},
	{name: "records, the trend", open: true, do: twoDays, keys: []string{"/", "4", "2"}},
	{name: "records, trays an hour", open: true, do: twoDays, keys: []string{"/", "4", "2", "+"}},
	{name: "records, a trace", open: true, work: 200, do: fridge, keys: []string{"/", "4", "4", "enter"}},
	{name: "records, the end of a trace", open: true, work: 200, do: fridge, keys: []string{"/", "4", "4", "enter", "pgdown", "pgdown"}},
	{name: "records, a recall", open: true, work: 200, keys: []string{"/", "4", "4", "."}},
	{name: "records, entries", open: true, work: 60, keys: []string{"/", "4", "3"}},
	{name: "clean-up", open: true, work: 60, keys: []string{"/", "5"}},
	{name: "backlog", open: true, keys: []string{"/", "9"}},
	{name: "new trouble", open: true, keys: []string{"/", "9", "2"}},
	{name: "power, what was seen", open: true, work: 7, keys: []string{"/", "1", "."}},
	{name: "power, no power", open: true, work: 7, keys: []string{"/", "1", "4", ".", "5", "enter"}},
	{name: "power, too much", open: true, work: 7, keys: []string{"/", "1", "1", ".", "1", "enter"}},
	{name: "help of the power screen", open: true, work: 7, keys: []string{"/", "1", "?"}},
	{name: "help of the plan", open: true, keys: []string{"/", "2", "?"}},
	{name: "help of the recipes", open: true, keys: []string{"/", "3", "?"}},
	{name: "tasting", open: true, work: 60, keys: []string{"/", "3", "t", "enter"}},
	{name: "records, lots", open: true, work: 60, keys: []string{"/", "4", "4"}},
	{name: "records, new entry", open: true, keys: []string{"/", "4", "5"}},
	{name: "records, the fridge", open: true, keys: []string{"/", "4", "5", "1"}},
	{name: "records, the sanitizer", open: true, keys: []string{"/", "4", "5", "2"}},
	{name: "records, what was done", open: true, keys: []string{"/", "4", "5", "5"}},
	{name: "help of the records", open: true, keys: []string{"/", "4", "?"}},
	{name: "clean-up, counting", open: true, work: 60, keys: []string{"/", "5", "2"}},
	{name: "clean-up, the mix", open: true, work: 60, keys: []string{"/", "5", "5", "enter"}},
	{name: "clean-up, the contact time", open: true, work: 60, keys: []string{"/", "5", "6"}},
	{name: "clean-up, surfaces", open: true, work: 60, keys: []string{"/", "5", "7"}},
	{name: "clean-up, sowing", open: true, work: 60, keys: []string{"/", "5", "8"}},
	{name: "clean-up, the note", open: true, work: 60, keys: []string{"/", "5", "9", "enter"}},
	{name: "help of the clean-up", open: true, work: 60, keys: []string{"/", "5", "?"}},
	{name: "help of the backlog", open: true, keys: []string{"/", "9", "?"}},
	{name: "paces", open: true, keys: []string{"/", "d"}},
	{name: "pin a pace", open: true, keys: []string{"/", "d", "enter"}},
	{name: "promises", open: true, keys: []string{"/", "d", "9"}},
	{name: "the next hour", open: true, keys: []string{"/", "e"}},
	{name: "help of the next hour", open: true, keys: []string{"/", "e", "?"}},
	{name: "help of the paces", open: true, keys: []string{"/", "d", "?"}},
}

// TestEveryTextCanBeTranslated shows each screen of a shed whose names are disguised
// in a language of other letters: no Latin word may be left.
func TestEveryTextCanBeTranslated(t *testing.T) {
	for _, tc := range masked {
		t.Run(tc.name, func(t *testing.T) {
			for _, size := range uitest.Sizes {
				o := uitest.Masked()
				o.W, o.H = size[0], size[1]
				if !tc.open {
					o.Suggest, o.Sheet = o.Sheet, nil
				}
				o.Prefs.Trainee = tc.trainee
				d := uitest.New(t, o)
				d.Work(tc.work)
				if tc.do != nil {
					tc.do(d)
				}
				d.Press(tc.keys...)
				for _, word := range uitest.Untranslated(d.Screen()) {
					t.Errorf("%q at %dx%d\n%s", word, size[0], size[1], d.Screen())
				}
			}
		})
	}
}

// unwatched leaves the shed alone for three days.
func unwatched(d *uitest.Driver) {
	last := d.Clock.Now()
	d.Clock.Advance(72 * time.Hour)
	d.Do(line.Recover{LastBeat: last})
	d.Pass(time.Second)
}

// late lets three quarters of an hour go by, in which everything becomes due.
func late(d *uitest.Driver) { d.Skip(45 * time.Minute) }

// trip opens the breaker of the wet wall.
func trip(d *uitest.Driver) {
	d.Do(line.MarkTripped{Circuit: 0})
	d.Pass(time.Second)
}

// fridge enters a reading beyond its limit, and what was done about it.
func fridge(d *uitest.Driver) {
	d.Press("/", "4", "5", "1", "9", "enter", "+", "enter", "esc", "esc", "esc")
}

// twoDays works a day and half of the next.
func twoDays(d *uitest.Driver) {
	sheet := *d.State().Sheet
	d.Work(300)
	d.Do(line.CloseDay{})
	d.Clock.Advance(24 * time.Hour)
	sheet.Start = d.Clock.Now()
	sheet.Date = sheet.Start.Format(time.DateOnly)
	d.Do(line.OpenDay{Sheet: sheet})
	d.Work(60)
}

// toTub works until a batch may go into the tub.
func toTub(d *uitest.Driver) {
	workUntil(d, func(p *line.Prompt) bool { return p.Act == line.ActStart && p.To.Station == linetest.Tub })
}

// toPacking works until a batch is packed and only has to be counted.
func toPacking(d *uitest.Driver) {
	workUntil(d, func(p *line.Prompt) bool { return p.Act == line.ActFinish && p.From.Station == linetest.Pack })
}

func workUntil(d *uitest.Driver, is func(p *line.Prompt) bool) {
	for range 200 {
		if p := line.Prompts(d.State(), d.Clock.Now(), nil); len(p) > 0 && is(&p[0]) {
			d.Skip(max(time.Second, p[0].At.Sub(d.Clock.Now())))
			return
		}
		d.Work(1)
	}
}

// The check itself: plain English is found, names, units and verbs are not.
func TestUntranslatedFindsEnglish(t *testing.T) {
	sheet := linetest.Sheet()
	if left := uitest.Untranslated(uitest.New(t, uitest.Options{Sheet: &sheet}).Screen()); len(left) < 5 {
		t.Errorf("on an English board only %q", left)
	}
	if left := uitest.Untranslated("zqzqz 3.2 kg ZQQZ1 7 min"); len(left) > 0 {
		t.Errorf("%q", left)
	}
}

// closed works a day to its end.
func closed(d *uitest.Driver) {
	d.Work(300)
	d.Do(line.CloseDay{})
	d.Pass(2 * time.Second)
}
