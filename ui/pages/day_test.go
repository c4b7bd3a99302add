package pages_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

func daySuggestion() *line.Sheet {
	sheet := linetest.Sheet()
	sheet.Crops[1].Due = linetest.Morning.Add(4 * time.Hour)
	return &sheet
}

func TestDayScreens(t *testing.T) {
	uitest.Golden(t, "day", uitest.Options{Suggest: daySuggestion()}, func(d *uitest.Driver) { d.Press("enter") })
	sheet := linetest.Sheet()
	uitest.Golden(t, "day-adding", uitest.Options{Sheet: &sheet}, func(d *uitest.Driver) {
		d.Press("d", "enter", "2", "+", "1", "1")
	})
}

func dayCrops(d *uitest.Driver) []line.Demand {
	if d.State().Sheet == nil {
		return nil
	}
	return d.State().Sheet.Crops
}

// The whole form by number pad: two crops, one with a due time, then the last row.
func TestNumberPadOpensTheDay(t *testing.T) {
	d := uitest.New(t, uitest.Options{})
	d.Expect("No day is open")
	d.Press("enter")
	d.Press("1", "2", "enter", "5", "+", "1", "1", "3", "0", "up")
	d.ExpectLine("pea", "12 trays")
	d.ExpectLine("radish", "5 trays", "11:30")
	d.Expect("17 trays in 5 batches")
	d.Press("up", "enter")
	want := []line.Demand{{Crop: "pea", Trays: 12}, {Crop: "radish", Trays: 5, Due: time.Date(2026, 12, 3, 11, 30, 0, 0, time.UTC)}}
	if got := dayCrops(d); !slices.Equal(got, want) {
		t.Fatalf("crops %+v, want %+v", got, want)
	}
	d.Expect("Day opened: 17 trays in 5 batches", "Cut")
}

func TestSuggestionOpensWithTwoKeys(t *testing.T) {
	d := uitest.New(t, uitest.Options{Suggest: daySuggestion()})
	d.Press("enter", "enter")
	if got, want := dayCrops(d), daySuggestion().Crops; !slices.Equal(got, want) {
		t.Errorf("crops %+v, want %+v", got, want)
	}
	if got := d.State().Sheet.Apart; !slices.Equal(got, daySuggestion().Apart) {
		t.Errorf("kept apart %v, want %v", got, daySuggestion().Apart)
	}
}

// A suggested crop that nobody has a recipe for is shown and refused in words.
func TestSuggestedCropWithoutARecipe(t *testing.T) {
	sheet := daySuggestion()
	sheet.Crops = append(sheet.Crops, line.Demand{Crop: "shiso", Trays: 2})
	d := uitest.New(t, uitest.Options{Suggest: sheet})
	d.Press("enter")
	d.ExpectLine("shiso", "2")
	d.Press("enter")
	d.Expect("shiso has no recipe. Add one first.", "the day of Thu 3 Dec")
	d.Press("+", "+", "+", "+", "+", "+", "+", "+", "+", "0") // shiso: none of it
	d.ExpectLine("shiso", "[0")
	d.Press("up", "up", "up", "up", "up", "enter")
	if got, want := dayCrops(d), daySuggestion().Crops; !slices.Equal(got, want) {
		t.Errorf("crops %+v, want %+v", got, want)
	}
}

func TestDayBadEntriesKeepWhatWasTyped(t *testing.T) {
	last := []string{"esc", "enter", "up", "enter"} // left and opened again, from its first row to its last
	for _, tc := range []struct {
		name string
		keys []string
		say  string
		kept []string
	}{
		{"no trays", nil, "A day of 0 trays can't be right.", nil},
		{"too many trays", []string{"1", "0", "0", "0", "0"}, "Type a number from 0 to 500 trays.", []string{"pea", "10000"}},
		{"too many in all", []string{"4", "0", "0", "enter", "4", "0", "0"}, "a day of 800 trays can't be right", []string{"radish", "400"}},
		{"due time unreadable", []string{"4", "+", "9", "7"}, "Type hours and minutes in four digits", []string{"pea", "4", "97"}},
		{"due time over", []string{"4", "+", "0", "6", "1", "5"}, "pea: that time has passed", []string{"pea", "4", "0615"}},
		{"due without trays", []string{"+", "1", "1", "0", "0"}, "pea has a due time but no trays", []string{"pea", "1100"}},
		{"nobody on", []string{"4", "up", "up", "2"}, "Nobody works today", []string{"pea", "4"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := uitest.New(t, uitest.Options{})
			d.Press("enter")
			d.Press(tc.keys...)
			if !strings.Contains(d.Screen(), tc.say) {
				d.Press(last...)
			}
			d.Expect(tc.say)
			d.ExpectLine(tc.kept...)
			if d.State().Sheet != nil {
				t.Error("the day was opened all the same")
			}
		})
	}
}

func TestDayLeavingKeepsWhatWasTyped(t *testing.T) {
	d := uitest.New(t, uitest.Options{})
	d.Press("enter", "7", "enter", "/")
	d.Expect("No day is open")
	d.Press("enter")
	d.ExpectLine("pea", "7")
	d.Press("up", "-") // no trays of it
	d.ExpectNot("7 trays")
	d.Press("esc")
	d.Expect("No day is open")
}

func TestHelpComesBackToTheDayForm(t *testing.T) {
	d := uitest.New(t, uitest.Options{})
	d.Press("enter", "7", "?")
	d.Expect("help: the day's crops", "next field")
	d.Press("0")
	d.ExpectLine("pea", "7")
}

func TestAddsTraysToTheOpenDay(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("d")
	d.ExpectLine("pea", "6 trays in 2 batches")
	d.Press("3", "enter", "enter", "2", "enter", "up", "up", "up", "up", "enter")
	d.Expect("Cut PEA 1") // the board again
	trays := map[string]int{}
	for i := range d.State().Batches {
		trays[d.State().Batches[i].Crop] += d.State().Batches[i].Trays
	}
	if trays["pea"] != 9 || trays["sunflower"] != 6 || trays["radish"] != 5 {
		t.Errorf("trays %v, want 9 pea, 6 sunflower and 5 radish", trays)
	}
}

// All of it is added or none: what would be refused is said before anything is sent.
func TestNothingIsAddedWhereSomeWouldBeRefused(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	before := len(d.State().Batches)
	d.Press("d", "2", "5", "0", "enter", "2", "5", "0", "up", "up", "enter")
	d.Expect("that would make a day of 518 trays")
	d.ExpectLine("pea", "250")
	d.ExpectLine("radish", "250")
	if got := len(d.State().Batches); got != before {
		t.Errorf("%d batches, want the %d of before", got, before)
	}
}

func TestDayCrew(t *testing.T) {
	site := linetest.Site()
	site.Crew = []string{"Ash", "Rowan"}
	d := uitest.New(t, uitest.Options{Site: site})
	d.Press("enter", "4", "up", "up", "2") // from the first row to Rowan's
	d.ExpectLine("Rowan works", "no")
	d.Press("enter")
	if got := d.State().Crew; !slices.Equal(got, []string{"Ash"}) {
		t.Fatalf("crew %v, want Ash", got)
	}
	d.Press("d", "up", "up", "1", "enter")
	if got := d.State().Crew; !slices.Equal(got, []string{"Ash", "Rowan"}) {
		t.Errorf("crew %v, want both", got)
	}
}
