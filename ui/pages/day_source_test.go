package pages_test

import (
	"context"
	"slices"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/linetest"
	"shedbell/recipes"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/pages"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/uitest"
	"shedbell/ui/words"
)

// aWeekLater is a shed in which a day was run a week before this morning, and some
// trays were added in the course of it.
func aWeekLater(t *testing.T, suggest *line.Sheet) *uitest.Driver {
	t.Helper()
	then := linetest.Morning.AddDate(0, 0, -7)
	d := uitest.New(t, uitest.Options{Start: then, Suggest: suggest})
	day := func(start time.Time, crop string, trays int) {
		d.Do(line.OpenDay{Sheet: line.Sheet{Date: start.Format(time.DateOnly), Start: start, Crew: []string{"Ash"},
			Crops: []line.Demand{{Crop: crop, Trays: trays, Due: start.Add(3 * time.Hour)}}, Apart: [][2]string{{"radish", "pea"}}}})
	}
	day(then, "pea", 3)
	d.Do(line.AddTrays{Demand: line.Demand{Crop: "radish", Trays: 2}})
	closeDay(d)
	d.Clock.Advance(24 * time.Hour)
	day(then.AddDate(0, 0, 1), "broccoli", 4) // another weekday
	closeDay(d)
	d.Clock.Advance(6 * 24 * time.Hour)
	day(linetest.Morning, "sunflower", 1) // by mistake
	d.Do(line.Undo{})
	d.Pass(time.Second)
	return d
}

func closeDay(d *uitest.Driver) {
	for _, b := range d.State().Batches {
		d.Do(line.Scrap{Batch: b.ID, Reason: "a test"})
	}
	d.Do(line.CloseDay{})
}

func openedDay(t *testing.T, d *uitest.Driver, keys []string, want ...line.Demand) {
	t.Helper()
	if len(keys) > 3 {
		t.Errorf("%d keys to open a day, want three at most", len(keys))
	}
	d.Press(keys...)
	if got := dayCrops(d); !slices.Equal(got, want) {
		t.Fatalf("crops %+v, want %+v\n%s", got, want, d.Screen())
	}
}

var lastWeeks = []line.Demand{
	{Crop: "pea", Trays: 3, Due: linetest.Morning.Add(3 * time.Hour)},
	{Crop: "radish", Trays: 2},
}

// The day in three keys: Enter, where from, and the point.
func TestDayInThreeKeys(t *testing.T) {
	t.Run("last week's", func(t *testing.T) {
		d := aWeekLater(t, daySuggestion())
		d.Press("enter")
		d.Expect("as on Thu 26 Nov")
		openedDay(t, d, []string{"enter"}, lastWeeks...)
		if got := d.State().Sheet.Apart; len(got) != 1 {
			t.Errorf("kept apart %v", got)
		}
	})
	t.Run("orders", func(t *testing.T) {
		d := aWeekLater(t, daySuggestion())
		orderCrop(d, "pea", 7, 1)
		orderCrop(d, "pea", 1, 3)
		orderCrop(d, "sunflower", 5, 0)
		orderCrop(d, "radish", 9, 8) // for the week after
		// The line runs again tomorrow. A tray gives 300 g, a package holds 125 g: until then 7
		// packages need 2.92 trays, 5 need 2.08.
		openedDay(t, d, []string{"enter", "2", "enter"}, line.Demand{Crop: "sunflower", Trays: 3}, line.Demand{Crop: "pea", Trays: 3})
	})
	t.Run("orders without a last week", func(t *testing.T) {
		d := uitest.New(t, uitest.Options{Suggest: daySuggestion()})
		orderCrop(d, "radish", 2, 0)
		openedDay(t, d, []string{"enter", "enter"}, line.Demand{Crop: "radish", Trays: 1})
	})
	t.Run("day sheet", func(t *testing.T) {
		d := aWeekLater(t, daySuggestion())
		openedDay(t, d, []string{"enter", "2", "enter"}, daySuggestion().Crops...)
	})
	t.Run("typed", func(t *testing.T) {
		d := uitest.New(t, uitest.Options{})
		d.Press("enter")
		openedDay(t, d, []string{"6", "up", "enter"}, line.Demand{Crop: "pea", Trays: 6})
	})
}

func orderCrop(d *uitest.Driver, crop string, packages, days int) {
	d.Do(line.TakeOrder{Customer: "The corner shop", Crop: crop, Packages: packages,
		Due: d.Clock.Now().AddDate(0, 0, days).Format(time.DateOnly)})
	d.Pass(time.Second)
}

// What was typed is not lost by a look at another source.
func TestAnotherSourceKeepsWhatWasTyped(t *testing.T) {
	d := aWeekLater(t, nil)
	d.Press("enter", "+", "9")
	d.ExpectLine("pea", "9")
	d.Press("up", "2")
	d.ExpectNot("9 trays")
	d.Expect("empty")
	d.Press("1")
	d.ExpectLine("pea", "9 trays", "10:30")
}

// A due time that is over today would only be in the way; it is said that it is left
// out.
func TestLateStartDropsWhatIsOver(t *testing.T) {
	sheet := linetest.Sheet()
	sheet.Crops[0].Due = linetest.Morning.Add(time.Hour)
	late := uitest.New(t, uitest.Options{Suggest: &sheet})
	late.Clock.Advance(2 * time.Hour)
	late.Pass(time.Second)
	late.Press("enter")
	late.ExpectLine("that time has passed", sheet.Crops[0].Crop, sheet.Crops[0].Due.Format("15:04"))
	late.Press("enter")
	late.Expect("Day opened")

	d := aWeekLater(t, nil)
	d.Clock.Advance(4 * time.Hour)
	d.Pass(time.Second)
	openedDay(t, d, []string{"enter", "enter"}, line.Demand{Crop: "pea", Trays: 3}, line.Demand{Crop: "radish", Trays: 2})
}

// While a day is open there is nothing to fill in.
func TestNoSourceWhileADayIsOpen(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet, Suggest: daySuggestion()})
	d.Press("d", "up")
	d.ExpectNot("from the day sheet")
	d.Expect("Enter: add these")
}

// The form is whole before it takes a key: nothing that comes later changes what it
// sends.
func TestDayFormIsWholeAtOnce(t *testing.T) {
	d := aWeekLater(t, daySuggestion())
	form := pages.NewDay()
	env := &screen.Env{Context: act.Context{Words: words.English(), State: d.State(), Now: d.Clock.Now()}, Suggest: daySuggestion(),
		Past: func(context.Context, func(line.Record) error) error { return nil }}
	if later := form.Update(env, screen.OpenMsg{Name: screen.Day}); later != nil {
		t.Error("the form waits for something")
	}
	c := canvas.New(80, 24, theme.New(theme.Options{Name: theme.Mono, Profile: termenv.Ascii}))
	enter := func() tea.Cmd {
		cmd, _ := form.Actions(env).Press(&env.Context, tea.KeyMsg{Type: tea.KeyEnter})
		return cmd
	}
	if enter() != nil {
		t.Fatal("took a key for what it had not shown")
	}
	form.Draw(env, c.All())
	sends, ok := enter()().(screen.DoMsg)
	if !ok || len(sends.Commands) != 1 {
		t.Fatalf("sends %+v", sends)
	}
	sheet := sends.Commands[0].(line.OpenDay).Sheet
	if !slices.Equal(sheet.Crops, lastWeeks) || !slices.Equal(sheet.Crew, []string{"Ash"}) {
		t.Errorf("opens %+v", sheet)
	}
}

// The invented shed offers its invented day; a shed of somebody's own offers nobody
// else's.
func TestOnlyTheExampleShedOffersTheExampleDay(t *testing.T) {
	book := recipes.Starters()
	example := uitest.New(t, uitest.Options{Site: files.Starter(), Book: &book})
	example.Press("enter")
	example.Expect("the example day", "20 trays in")
	example.Press("enter")
	example.Expect("Day opened: 20 trays")

	own := files.Starter()
	own.Name = "Willow shed"
	d := uitest.New(t, uitest.Options{Site: own, Book: &book})
	d.Press("enter")
	d.ExpectNot("example", "day sheet")
	d.Expect("empty")
}

// One question has one answer: the day form, the bench and the screen of what grows say the
// same trays to sow for an order, with what grows and what is in the fridge taken off.
func TestTheSameTraysToSowEverywhere(t *testing.T) {
	d := uitest.New(t, uitest.Options{})
	d.Do(line.CountGrowing{Crop: "pea", Sown: d.Clock.Now().AddDate(0, 0, -5), Trays: 3})
	orderCrop(d, "pea", 30, 11) // 3,750 g are 12.5 trays; three grow
	orderCrop(d, "radish", 5, 0)
	d.Press("enter")
	d.Expect("to sow: 3 trays of radish, 10 trays of pea")
	d.Press("enter")
	if got := d.State().Sowing; len(got) != 2 || got[1] != (line.SowItem{Crop: "pea", Trays: 10}) {
		t.Fatalf("the day has %+v to sow", got)
	}
	d.Press("/", "f")
	d.ExpectLine("pea", "0", "3", "13", "10")
	d.Press("/", "5", "8")
	d.ExpectLine("pea", "10", "300 g", "due 2026-12-14")
}

func TestSowingScreens(t *testing.T) {
	o := uitest.Options{}
	uitest.Golden(t, "sowing", o, func(d *uitest.Driver) {
		for i, crop := range []string{"pea", "radish", "sunflower", "pea"} {
			d.Do(line.CountGrowing{Crop: crop, Sown: d.Clock.Now().AddDate(0, 0, -11+2*i), Trays: 3 + i})
		}
		orderCrop(d, "pea", 30, 11)
		orderCrop(d, "radish", 5, 0)
		d.Press("/", "f", "+")
	})
	uitest.Golden(t, "sowing-count", o, func(d *uitest.Driver) {
		d.Do(line.CountGrowing{Crop: "pea", Sown: d.Clock.Now().AddDate(0, 0, -4), Trays: 3})
		d.Pass(time.Second)
		d.Press("/", "f", "enter")
	})
}
