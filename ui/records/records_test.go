package recordsui_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/say"
	"shedbell/ui/screen"
	"shedbell/ui/uitest"
)

// open is the records screen on an open day.
func open(t testing.TB, o uitest.Options) *uitest.Driver {
	sheet := linetest.Sheet()
	o.Sheet = &sheet
	d := uitest.New(t, o)
	d.Press("/", "4")
	return d
}

func typeIn(d *uitest.Driver, text string) {
	for _, c := range text {
		d.Press(string(c))
	}
}

func entries(d *uitest.Driver) []line.KeptEntry { return d.State().Entries }

// days works several whole days, the later ones a little quicker, with a change
// between the fourth and the fifth.
func days(d *uitest.Driver, n int) {
	for i := range n {
		if d.State().Sheet == nil {
			sheet := linetest.Sheet()
			sheet.Date, sheet.Start = d.Clock.Now().Format(time.DateOnly), d.Clock.Now()
			d.Do(line.OpenDay{Sheet: sheet})
		}
		if i == 4 {
			d.Do(line.AddMark{Text: "second basket"})
		}
		work(d, time.Duration(max(0, 6-i))*20*time.Second)
		d.Do(line.CloseDay{})
		d.Clock.Advance(24 * time.Hour)
	}
	sheet := linetest.Sheet()
	sheet.Date, sheet.Start = d.Clock.Now().Format(time.DateOnly), d.Clock.Now()
	d.Do(line.OpenDay{Sheet: sheet})
	d.Pass(time.Second)
}

// work follows the prompts to the day's end, each so much late.
func work(d *uitest.Driver, late time.Duration) {
	for range 1000 {
		all := line.Prompts(d.State(), d.Clock.Now(), nil)
		if len(all) == 0 || all[0].Act == line.ActClose {
			return
		}
		if wait := all[0].At.Sub(d.Clock.Now()); wait > 0 {
			d.Clock.Advance(wait)
		}
		d.Clock.Advance(late)
		if _, _, no := d.Line.Do(all[0].Command); no != nil {
			d.Clock.Advance(time.Minute)
		}
	}
}

func TestScreens(t *testing.T) {
	sheet := linetest.Sheet()
	for name, show := range map[string]func(d *uitest.Driver){
		"records-today": func(d *uitest.Driver) { d.Work(40); d.Press("/", "4") },
		"records-trend": func(d *uitest.Driver) { days(d, 9); d.Press("/", "4", "2") },
		"records-lots":  func(d *uitest.Driver) { days(d, 1); d.Press("/", "4", "4", "+") },
		"records-trace": func(d *uitest.Driver) { days(d, 1); d.Press("/", "4", "4", "+", "enter") },
		"records-recall": func(d *uitest.Driver) {
			days(d, 1)
			lot := d.State().Past[0].Ran.Lot
			d.Do(line.Sell{Lot: lot, Customer: "the inn", Packages: 2, Reference: "N 12"})
			d.Pass(time.Second)
			d.Press("/", "4", "4", "+", ".")
		},
		"records-sale": func(d *uitest.Driver) {
			days(d, 1)
			d.Do(line.TakeOrder{Customer: "the inn", Crop: "sunflower", Packages: 4, Due: d.Clock.Now().Format(time.DateOnly)})
			d.Pass(time.Second)
			d.Press("/", "4", "4", "+", "6")
		},
		"records-new":     func(d *uitest.Driver) { d.Press("/", "4", "5") },
		"records-fridge":  func(d *uitest.Driver) { d.Press("/", "4", "5", "1"); typeIn(d, "6.4") },
		"records-entries": func(d *uitest.Driver) { d.Press("/", "4"); someEntries(d) },
	} {
		uitest.Golden(t, name, uitest.Options{Sheet: &sheet}, show)
	}
}

func someEntries(d *uitest.Driver) {
	d.Press("5", "3", "enter") // hands
	d.Press("5", "1")
	typeIn(d, "3.8")
	d.Press("enter")
	d.Press("5", "2")
	typeIn(d, "90")
	d.Press("enter", "2") // beyond 80 ppm: what was done
	d.Press("3")
}

// The open day has lasted until now, whenever something was recorded last; also when
// the page is opened again and nothing has happened since.
func TestTheOpenDayLastsUntilNow(t *testing.T) {
	d := open(t, uitest.Options{})
	for _, later := range []time.Duration{112 * time.Minute, 10 * time.Minute} {
		d.Press("0")
		d.Clock.Advance(later)
		d.Pass(time.Second)
		d.Press("/", "4")
		d.Expect("still open at " + d.Clock.Now().Format("15:04"))
	}
}

// The fridge takes the digits of the reading and four keys.
func TestFridgeInFewKeys(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Press("5", "1", "3", ".", "8", "enter")
	if n := len(entries(d)); n != 1 {
		t.Fatalf("%d entries", n)
	}
	e := entries(d)[0].Entry
	if e.Kind != line.EntryFridge || e.Value != 3.8 || e.Unit != line.UnitC || e.Where != "fridge" || e.Initials != "A" || !e.Made.Equal(d.Clock.Now()) {
		t.Errorf("entry %+v", e)
	}
	d.Expect("records, entries", "Fridge temperature, fridge, 3.8 C. Signed A")
	d.Expect("3.8 C; limit 5 C at most, FDA Food Code 3-501.16 (5 C / 41 F)")
	d.Expect("greens only cut from their root at harvest are outside that term")
}

// The FDA Food Code gives its limit as 5 C, which is 41 F.
func TestFahrenheitBesideTheSameLimit(t *testing.T) {
	d := open(t, uitest.Options{Prefs: screen.Prefs{Prefs: say.Prefs{US: true}}})
	d.Press("5", "1", "4", "1", "enter")
	d.Expect("41 F", "5 C; limit 5 C at most")
	d.ExpectNot("BEYOND")
	d.Press("5", "1", "5", "+", "1") // 5 C all the same
	if e := entries(d)[1].Entry; e.Unit != line.UnitC {
		t.Errorf("unit %q", e.Unit)
	}
}

func TestTemperatureOf500IsRefused(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Press("5", "1", "5", "0", "0", "enter")
	d.Expect("500 C can't be right. Give -40 to 60 C.", "500")
	if n := len(entries(d)); n != 0 {
		t.Fatalf("%d entries", n)
	}
	d.Press("-", "-", "enter") // what was typed is still there
	if e := entries(d); len(e) != 1 || e[0].Entry.Value != 5 {
		t.Errorf("entries %+v", e)
	}
}

// A reading always has the unit that stands beside it; without a number there is
// none, and the line refuses it.
func TestReadingWithoutANumberIsRefused(t *testing.T) {
	d := open(t, uitest.Options{})
	for _, digit := range []string{"1", "2", "7"} {
		d.Press("5", digit, "enter")
		d.Expect("Still missing: reading.")
		d.Press("esc")
	}
	if n := len(entries(d)); n != 0 {
		t.Errorf("%d entries without a reading", n)
	}
}

func TestReadingBeyondALimitAsksWhatWasDone(t *testing.T) {
	d := open(t, uitest.Options{W: 120, H: 40})
	d.Press("5", "1", "9", "enter")
	d.Expect("Fridge temperature, fridge, 9 C: what was done about it?")
	d.Press("2")
	all := entries(d)
	if len(all) != 2 {
		t.Fatalf("%d entries", len(all))
	}
	if e := all[1].Entry; e.Kind != line.EntryCorrective || e.About != all[0].Seq || e.Text != "turned the fridge colder, read again in 30 min" || e.Where != "fridge" {
		t.Errorf("%+v", e)
	}
	d.Expect("9 C, OVER limit 5 C")
	for _, word := range []string{"ompliant", "compliance", "passed"} {
		if strings.Contains(d.Screen(), word) {
			t.Errorf("the screen passes a verdict: %q", word)
		}
	}
}

// Nothing is overwritten: the correction stands beside what it corrects.
func TestCorrectionIsALaterEntry(t *testing.T) {
	d := open(t, uitest.Options{W: 120, H: 40})
	d.Press("5", "1", "3", "8", "enter", "esc") // 38 C: a slip; leave the question
	d.Skip(5 * time.Minute)
	made := entries(d)[0].Entry.Made
	d.Press("3", "enter")
	d.Expect("Correct entry", "which stays as written")
	d.Press("enter") // pressed twice with a wet finger
	if d.Expect("Nothing has changed yet"); len(entries(d)) != 1 {
		t.Fatalf("a correction that changes nothing was entered: %+v", entries(d))
	}
	d.Press("3", ".", "8", "enter")
	all := entries(d)
	if len(all) != 2 || all[0].Entry.Value != 38 || all[1].Entry.Value != 3.8 || all[1].Entry.Corrects != all[0].Seq || !all[1].Entry.Made.Equal(made) {
		t.Fatalf("%+v", all)
	}
	d.ExpectLine("corrects no.")
	d.ExpectLine("corrected by no.")
	d.Press("+", "enter")
	d.Expect("already corrects it; correct that one")
}

func TestBackDatedEntryShowsBothTimes(t *testing.T) {
	d := open(t, uitest.Options{W: 120, H: 40})
	d.Press("5", "3", "+", "+", "4", "5")
	d.Expect("A late entry: it shows both when it was, 3 Dec 06:45")
	d.Press("enter", "enter")
	e := entries(d)[0]
	if !e.Entry.Late || !e.Entry.Made.Equal(d.Clock.Now().Add(-45*time.Minute)) || !e.At.Equal(d.Clock.Now()) {
		t.Errorf("%+v", e)
	}
	d.Expect("late entry, recorded 03 Dec 07:30")
}

func TestSeedLot(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Press("5", "6", "2")
	typeIn(d, "R-77")
	d.Press("enter", "enter")
	crops := d.State().Book.Crops()
	if l, ok := d.State().SeedOf(crops[1]); !ok || l.SeedLot != "R-77" {
		t.Errorf("seed lots %+v", d.State().Seeds)
	}
}

func TestEveryKindByNumberPad(t *testing.T) {
	for digit, kind := range map[string]line.EntryKind{"3": line.EntryHandWash, "4": line.EntryWater, "5": line.EntryCorrective, "9": line.EntryReview} {
		d := open(t, uitest.Options{})
		d.Press("5", digit, "enter")
		if kind == line.EntryCorrective { // what was done is nothing to take for granted
			if e := entries(d); len(e) != 0 {
				t.Errorf("Enter alone says that something was done: %+v", e)
			}
			d.Skip(2 * time.Second)
			d.Press("1", "enter")
		}
		if e := entries(d); len(e) != 1 || e[0].Entry.Kind != kind {
			t.Errorf("digit %s: %+v\n%s", digit, e, d.Screen())
		}
	}
}

func TestTodaysFigures(t *testing.T) {
	d := open(t, uitest.Options{W: 120, H: 40})
	d.Expect("Day of 2026-12-03")
	d.Press("0")
	d.Work(60)
	d.Press("/", "4")
	d.Expect("hands-on", "trays an hour")
	for range 60 {
		d.Press("+")
	}
	d.Expect("By station", "cutting table")
}

func TestTrendWithALimitAndAMark(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet, W: 120, H: 40})
	days(d, 9)
	d.Press("/", "4", "2")
	d.Expect("1 of 7: Person-hours a tray, h, less is better", "usual range")
	d.Expect(`Since "second basket"`, "less than before")
	d.Press("-")
	d.Expect("7 of 7: Washing a tray")
}

func TestTraceAndRecall(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet, W: 120, H: 40})
	d.Do(line.UseSeed{Crop: "pea", SeedLot: "P-2291"})
	days(d, 1)
	lots := d.State().Past
	lot := lots[len(lots)-1].Ran.Lot
	d.Do(line.Sell{Lot: lot, Customer: "the inn", Packages: 1})
	d.Pass(time.Second)
	d.Press("/", "4", "4")
	d.Expect(lot)
	d.Press("enter")
	d.Expect("Trace of lot", "One step back", "water of the tub since", "recipe")
	d.Press("0")
	d.Expect("records, lots")
	d.Press(".")
	d.Expect("Mock recall of lot", "The lot and what shared its water or basket")
}

func TestLotsBeforeAnyIsPacked(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Press("4")
	d.Expect("No lot packed yet")
	d.Press("enter")
	d.Expect("Not here: no packed lot")
}
