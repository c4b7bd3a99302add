package pages_test

import (
	"slices"
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
		d.Press("d", "enter", "2", "/", "1", "1")
	})
}

func dayCrops(d *uitest.Driver) []line.Demand {
	if d.State().Sheet == nil {
		return nil
	}
	return d.State().Sheet.Crops
}

// The whole form by number pad: two crops, one with a due time, then the point.
func TestNumberPadOpensTheDay(t *testing.T) {
	d := uitest.New(t, uitest.Options{})
	d.Expect("No day is open")
	d.Press("enter")
	d.Press("1", "2", "enter", "5", "/", "1", "1", "3", "0", "enter", "/")
	d.ExpectLine("pea", "12")
	d.ExpectLine("radish", "5", "11:30")
	d.Expect("17 trays in 5 batches")
	d.Press(".")
	want := []line.Demand{{Crop: "pea", Trays: 12}, {Crop: "radish", Trays: 5, Due: time.Date(2026, 12, 3, 11, 30, 0, 0, time.UTC)}}
	if got := dayCrops(d); !slices.Equal(got, want) {
		t.Fatalf("crops %+v, want %+v", got, want)
	}
	d.Expect("Day opened: 17 trays in 5 batches", "Cut")
}

func TestSuggestionOpensWithTwoKeys(t *testing.T) {
	d := uitest.New(t, uitest.Options{Suggest: daySuggestion()})
	d.Press("enter", ".")
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
	d.Press(".")
	d.Expect("shiso has no recipe. Add one first.", "the day of Thu 3 Dec")
	d.Press("s", "s", "0", ".") // sunflower, then shiso: none of it
	if got, want := dayCrops(d), daySuggestion().Crops; !slices.Equal(got, want) {
		t.Errorf("crops %+v, want %+v", got, want)
	}
}

func TestDayLastRowOpensTheDay(t *testing.T) {
	d := uitest.New(t, uitest.Options{})
	d.Press("enter", "s", "+", "+", "+", "-", "o")
	d.ExpectLine("sunflower", "2")
	d.Press("enter")
	if got := dayCrops(d); len(got) != 1 || got[0].Crop != "sunflower" || got[0].Trays != 2 {
		t.Errorf("crops %+v, want 2 of sunflower", got)
	}
}

func TestDayBadEntriesKeepWhatWasTyped(t *testing.T) {
	for _, tc := range []struct {
		name string
		keys []string
		say  string
		kept []string
	}{
		{"no trays", []string{"."}, "A day of 0 trays cannot be meant.", nil},
		{"too many trays", []string{"1", "0", "0", "0", "0", "."}, "10000 trays of pea cannot be meant. Give 0 to 500.", []string{"pea", "10000"}},
		{"too many in all", []string{"4", "0", "0", "enter", "4", "0", "0", "."}, "a day of 800 trays cannot be meant", []string{"radish", "400"}},
		{"due time unreadable", []string{"4", "/", "9", "7", "."}, "the due time 97 cannot be read", []string{"pea", "4", "97"}},
		{"due time over", []string{"4", "/", "0", "6", "1", "5", "."}, "the due time 06:15 is over already", []string{"pea", "4", "06:15"}},
		{"due without trays", []string{"/", "1", "1", "0", "0", "."}, "pea has a due time and no trays", []string{"pea", "11:00"}},
		{"nobody on", []string{"4", "up", "a", "-", "."}, "Nobody is on the line", []string{"pea", "4"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := uitest.New(t, uitest.Options{})
			d.Press("enter")
			d.Press(tc.keys...)
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
	d.Press("enter", "7", "enter", "0") // the second field is empty
	d.Expect("No day is open")
	d.Press("enter")
	d.ExpectLine("pea", "7")
	d.Press("up", "0") // no trays of it
	d.ExpectLine("radish")
	d.ExpectNot("7 trays")
	d.Press("esc")
	d.Expect("No day is open")
}

func TestHelpComesBackToTheDayForm(t *testing.T) {
	d := uitest.New(t, uitest.Options{})
	d.Press("enter", "7", "?")
	d.Expect("help: the day's crops", "open the day")
	d.Press("0")
	d.ExpectLine("pea", "7")
}

func TestAddsTraysToTheOpenDay(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("d")
	d.ExpectLine("pea", "6 trays in 2 batches")
	d.Press("3", "enter", "enter", "2", ".")
	d.Expect("Cut PEA 1") // the board again
	trays := map[string]int{}
	for i := range d.State().Batches {
		trays[d.State().Batches[i].Crop] += d.State().Batches[i].Trays
	}
	if trays["pea"] != 9 || trays["sunflower"] != 6 || trays["radish"] != 5 {
		t.Errorf("trays %v, want 9 pea, 6 sunflower and 5 radish", trays)
	}
}

// What the line takes over before it refuses the rest is not sent twice.
func TestRefusedRestStays(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("d", "2", "5", "0", "enter", "2", "5", "0", ".")
	d.Expect("that would make a day of 518 trays")
	d.ExpectLine("pea", "256 trays in 65 batches")
	d.ExpectLine("radish", "250")
	d.ExpectNot("[ 250] 256")
}

func TestDayCrew(t *testing.T) {
	site := linetest.Site()
	site.Crew = []string{"Ash", "Rowan"}
	d := uitest.New(t, uitest.Options{Site: site})
	d.Press("enter", "4")
	d.ExpectLine("Rowan", "on the line")
	d.Press("r", "r", "-") // radish, then Rowan
	d.ExpectLine("Rowan", "not on the line")
	d.Press(".")
	if got := d.State().Crew; !slices.Equal(got, []string{"Ash"}) {
		t.Fatalf("crew %v, want Ash", got)
	}
	d.Press("d", "r", "r", "+", ".")
	if got := d.State().Crew; !slices.Equal(got, []string{"Ash", "Rowan"}) {
		t.Errorf("crew %v, want both", got)
	}
}
