package recipeui_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/say"
	"shedbell/recipes"
	"shedbell/ui/screen"
	"shedbell/ui/uitest"
	"shedbell/ui/words"
)

// morning is a day with four batches of pea and one of radish.
func morning() *line.Sheet {
	sheet := linetest.Sheet()
	sheet.Crops = []line.Demand{{Crop: "pea", Trays: 16}, {Crop: "radish", Trays: 4}}
	return &sheet
}

// packPeas works until so many batches of pea are cold.
func packPeas(d *uitest.Driver, batches int) {
	for range 200 {
		cold := 0
		for i := range d.State().Batches {
			if b := &d.State().Batches[i]; b.Crop == "pea" && b.Fate == line.Cold {
				cold++
			}
		}
		if cold >= batches {
			return
		}
		d.Work(1)
	}
}

// taste judges the pea batches that nobody has tasted.
func taste(d *uitest.Driver, wetness recipes.Score) {
	for _, p := range d.State().Packed() {
		if p.Ran.Crop == "pea" && len(d.State().TastingsOf(&p.Ran)) == 0 {
			d.Do(line.TasteBatch{Batch: p.ID, Tasting: recipes.Tasting{By: "Ash", Wetness: wetness, Bruising: 2, Grit: 1, Flavour: 4}})
		}
	}
	d.Pass(time.Second)
}

// judged is a day on which two batches came out too wet and, after a revision, two
// a little wet.
func judged(d *uitest.Driver) {
	packPeas(d, 1)
	r, _ := d.State().Recipe("pea")
	r.Dry, r.By, r.Why = 21*time.Minute, "Ash", "the first looked wet"
	d.Do(line.Revise{Recipe: r})
	packPeas(d, 2)
	taste(d, 5)
	packPeas(d, 4)
	taste(d, 4)
	d.Do(line.ReadAir{TempC: 24, RHPercent: 71})
	d.Pass(time.Second)
}

func TestScreens(t *testing.T) {
	o := uitest.Options{Sheet: morning()}
	uitest.Golden(t, "recipes-list", o, func(d *uitest.Driver) {
		judged(d)
		d.Do(line.UseAir{Crop: "radish", On: true})
		d.Pass(time.Second)
		d.Press("/", "3")
	})
	uitest.Golden(t, "recipes-one", o, func(d *uitest.Driver) {
		judged(d)
		d.Press("/", "3", "1")
	})
	uitest.Golden(t, "recipes-changed", o, func(d *uitest.Driver) { d.Press("r", "3", "+", "+", "2", "-") })
	uitest.Golden(t, "recipes-compare", o, func(d *uitest.Driver) {
		judged(d)
		d.Press("/", "3", "1", "7")
	})
	uitest.Golden(t, "recipes-taste", o, func(d *uitest.Driver) {
		packPeas(d, 1)
		d.Press("t", "4", "2", "1")
	})
	uitest.Golden(t, "recipes-pick", o, func(d *uitest.Driver) {
		packPeas(d, 2)
		d.Press("/", "3", "t", "down")
	})
	uitest.Golden(t, "recipes-air", o, func(d *uitest.Driver) { d.Press("/", "3", ".", "2", "4", ".", "5", "enter", "7") })
}

// From the board a recipe is adjusted with three keys: open, change, save.
func TestThreeKeysFromTheBoard(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning()})
	d.Work(3) // the first batch is in the tub
	d.Press("2")
	keys := []string{"r", "+", "enter"}
	if len(keys) > 3 {
		t.Error("more than three keys")
	}
	before, _ := d.State().Recipe("pea")
	d.Press(keys...)
	got, _ := d.State().Recipe("pea")
	if got.Soak != before.Soak+15*time.Second || got.Revision != 2 {
		t.Fatalf("soak %s, revision %d", got.Soak, got.Revision)
	}
	if got.By != "Ash" || got.Why != "adjusted from the board" || got.At.IsZero() {
		t.Errorf("by %q because %q at %s", got.By, got.Why, got.At)
	}
	d.Expect("Recipe pea, revision 2")
	d.Press("0")
	d.TakeBack()
	if got, _ := d.State().Recipe("pea"); got.Revision != 1 {
		t.Error("what was done does not take it back")
	}
}

// Without a chosen station the step that the sentence is about is meant.
func TestSentenceChoosesTheRecipe(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning()})
	for range 200 {
		d.Work(1)
		if p := line.Prompts(d.State(), d.Clock.Now(), nil); len(p) > 0 && p[0].From == (line.Place{Station: linetest.Spin}) {
			break
		}
	}
	d.Press("r", "-", "enter")
	if got, _ := d.State().Recipe("pea"); got.Spin != 3*time.Minute+45*time.Second {
		t.Errorf("spin %s, want 3:45", got.Spin)
	}
}

func TestStopsAtTheBoundsAndSaysWhy(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning()})
	d.Press("/", "3", "1", "1")
	for range 30 {
		d.Press("-")
	}
	d.Expect("1:00 is the shortest wash of this recipe", "Not judged: germs")
	d.Press("enter")
	if got, _ := d.State().Recipe("pea"); got.Soak != time.Minute {
		t.Errorf("soak %s, want the recipe's minimum of 1:00", got.Soak)
	}
	d.Press("4", "+", "+")
	d.Expect("high is the highest setting")
	d.Press("backspace")
	d.ExpectNot("changed and not saved")
}

func TestChangesWaitUntilSaved(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning()})
	d.Press("/", "3", "1", "3", "+", "0")
	d.Expect("Cut PEA 1")
	d.Press("/", "3")
	d.ExpectLine("pea", "not saved")
	d.Press("1")
	d.Expect("changed and not saved", "was 18:00")
}

func TestReasonInOnesOwnWords(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning()})
	d.Press("r", "+", "w", "q", "?", "0", "backspace", " ", "x", "enter", "enter")
	if got, _ := d.State().Recipe("pea"); got.Why != "q? x" || got.Revision != 2 {
		t.Errorf("revision %d because %q", got.Revision, got.Why)
	}
	d.Press("+", "enter")
	if got, _ := d.State().Recipe("pea"); got.Why != "adjusted from the board" {
		t.Errorf("the reason %q was taken over", got.Why)
	}
}

func TestTraineeReadsOnly(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning(), Prefs: screen.Prefs{Trainee: true}})
	packPeas(d, 4)
	taste(d, 5)
	seq := d.State().Seq
	d.Press("/", "3", "1")
	for _, k := range []string{"+", "-", "enter", "6"} {
		d.Press(k)
		d.Expect("trainees read recipes")
		d.ExpectNot("changed and not saved")
	}
	if d.State().Seq != seq {
		t.Error("a trainee changed something")
	}
}

// Four answers, the days, and Enter; where the days are not known yet it is one key less.
func TestSixKeysTaste(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning()})
	packPeas(d, 1)
	d.Press("t")
	d.Expect("taste PEA 1 OF 2026-12-03", "How wet?", "Lot 2026-12-03-001")
	keys := []string{"4", "2", "1", "5", "7", "enter"}
	d.Press(keys...)
	if n := len(d.State().Tastings); n != 1 || len(keys) != 6 {
		t.Fatalf("%d tastings after %d keys", n, len(keys))
	}
	got := d.State().Tastings[0]
	if got.Wetness != 4 || got.Bruising != 2 || got.Grit != 1 || got.Flavour != 5 || got.DaysKept != 7 || got.By != "Ash" {
		t.Errorf("%+v", got)
	}
	d.Expect("Tasted pea 1 of 2026-12-03", "room 13.0") // the board again
}

func TestTastingWithWeightsAndWithoutAnswers(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning()})
	packPeas(d, 2)
	d.Press("/", "3", "t", "2") // the one before the newest
	d.Press("up", "up", "1", "2", "0", "0", "+", "1", "4", "0", "0", "enter", "1", "2", "3", "0", "enter")
	d.Press("3", "enter", "enter", "enter", "1", "2", "enter")
	all := d.State().Tastings
	if len(all) != 1 {
		t.Fatalf("%d tastings", len(all))
	}
	got := all[0]
	want := recipes.Weights{BeforeWashG: 1200, AfterSpinG: 1400, AfterDryG: 1230}
	if got.Ran.Batch != "pea 1 of 2026-12-03" || got.Wetness != 3 || got.Bruising != 0 || got.DaysKept != 12 || got.Weights != want {
		t.Errorf("%+v", got)
	}
}

func TestUnknownLot(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning()})
	packPeas(d, 2)
	d.Press("/", "3", "t")
	d.Expect("lot 2026-12-03-002", "lot 2026-12-03-001")
	d.Press("3", "7", "7", "enter")
	d.Expect(`"77" is not known; known are 2026-12-03-002`)
	d.Press("backspace", "backspace", "3", "1", "enter")
	d.Expect("taste PEA 1 OF 2026-12-03")
}

func TestBadWeightsLoseNothing(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning()})
	packPeas(d, 1)
	d.Press("t", "up", "up", "+", "9", "0", "0", "enter", "1", "2", "0", "0", "enter", "3", "1", "1", "3", "enter")
	d.Expect("900", "1200", "Not now")
	if len(d.State().Tastings) != 0 {
		t.Fatal("a weight that grows while drying was taken")
	}
	d.Press("?", "x")
	d.Expect("900", "1200")
	d.Press("0", "/", "t") // even after leaving
	d.ExpectLine("after spin", "900")
	d.ExpectLine("after dry", "1200")
}

// The air is asked for once, when the day is opened; nothing waits for it.
func TestAirIsAskedForWhenTheDayOpens(t *testing.T) {
	d := uitest.New(t, uitest.Options{})
	d.Press("enter", "6", "up", "enter")
	d.Expect("Cut PEA 1", "Type today's air with / 3 .")
	d.Press("enter")
	d.ExpectNot("Today's air")
	d.Press("/", "3", ".")
	d.Expect("What do the thermometer and hygrometer at the rack say?")
	d.Press("2", "0", "enter", "5", "0", "enter")
	if _, known := d.State().AirNow(d.Clock.Now()); !known {
		t.Error("the keys that were named do not lead there")
	}
}

func TestAirByNumberPad(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning()})
	d.Press("/", "3")
	d.Expect("Today's air is not known")
	d.Press(".", "2", "4", "/")
	d.Expect("Today's air is not known")
	d.Press(".", "enter", "1", "4", "0", "enter") // what was typed is still there
	d.Expect("from 0 to 100 %")
	d.Press("-", "-", "-", "7", "1", "enter")
	d.Expect("Air 24 °C, 71 % humidity, read at 07:30 by Ash")
	if got, ok := d.State().AirNow(d.Clock.Now()); !ok || got.TempC != 24 || got.RHPercent != 71 {
		t.Fatalf("%+v", got)
	}
	d.Press("1")
	d.Expect("Dry: recipe 18 min, today 29", "because the air is 24 °C, 71 % humidity", "5 takes today's")
	d.Press("5")
	d.Expect("Using today's time")
	if !d.State().FollowsAir("pea", d.Clock.Now()) || d.State().FollowsAir("radish", d.Clock.Now()) {
		t.Error("pea alone should follow the air")
	}
	d.Press(".", "d")
	if !d.State().FollowsAir("radish", d.Clock.Now()) {
		t.Error("one key should let all follow the air")
	}
}

// The comma is the decimal point too, and degrees are asked as the preferences have
// them. 76.1 °F are 24.5 °C: 0 °C is 32 °F, and a degree Celsius 1.8 of Fahrenheit.
func TestAirWithACommaInEitherUnit(t *testing.T) {
	for us, typed := range map[bool]string{false: "24,5", true: "76,1"} {
		d := uitest.New(t, uitest.Options{Sheet: morning(), Prefs: screen.Prefs{Prefs: say.Prefs{US: us}}})
		d.Press("/", "3", ".")
		d.Press(strings.Split(typed, "")...)
		d.Press("enter", "6", "0", ".", "5", "enter")
		if got, ok := d.State().AirNow(d.Clock.Now()); !ok || math.Abs(got.TempC-24.5) > 1e-9 || got.RHPercent != 60.5 {
			t.Errorf("US %v: %+v", us, got)
		}
	}
}

func TestSuggestionIsTakenByAKeyOnly(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning()})
	packPeas(d, 4)
	taste(d, 5)
	before, _ := d.State().Recipe("pea")
	g, _, _ := d.State().Book.Look(before.Crop, d.State().Tastings)
	if len(g.Changes) == 0 {
		t.Fatal("no suggestion to show")
	}
	english, err := words.New("en", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	d.Press("/", "3")
	d.ExpectLine("pea", "suggestion")
	d.Press("1")
	d.Press("5") // a shift and the air are one offer
	d.Expect("take it first")
	d.Expect("Suggestion: "+english.Suggestion(&g), "based on: 4 batches", "today would be done")
	if got, _ := d.State().Recipe("pea"); got.Revision != 1 {
		t.Fatal("the suggestion applied itself")
	}
	d.Press("6")
	got, _ := d.State().Recipe("pea")
	want := g.Apply(before)
	if got.Revision != 2 || got.Soak != want.Soak || got.Spin != want.Spin || got.Dry != want.Dry || len(got.Batches) != 4 {
		t.Errorf("%+v", got)
	}
}

func TestGoBack(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning()})
	d.Press("/", "3", "1", "3", "+", "enter", "7")
	d.ExpectLine("revision 1", "revision 2")
	d.ExpectLine("dry", "18:00", "18:15")
	d.Press("enter")
	d.Expect("PEA, revision 3")
	if got, _ := d.State().Recipe("pea"); got.Dry != 18*time.Minute || got.BackFrom != 1 || got.By != "Ash" {
		t.Errorf("%+v", got)
	}
}

// On a terminal without anything but ASCII, no page draws anything else.
func TestPlainTerminals(t *testing.T) {
	d := uitest.New(t, uitest.Options{Sheet: morning(), ASCII: true})
	judged(d)
	for _, keys := range [][]string{{"/", "3"}, {"1"}, {"7"}, {"0", "8"}, {"enter"}, {"0", "."}, {"0", "0"}} {
		d.Press(keys...)
		for _, c := range d.Screen() {
			if c > 127 {
				t.Fatalf("%q after %v:\n%s", c, keys, d.Screen())
			}
		}
	}
}
