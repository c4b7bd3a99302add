package board_test

import (
	"math"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/say"
	"shedbell/ui/screen"
	"shedbell/ui/uitest"
)

func open(t *testing.T, o uitest.Options) *uitest.Driver {
	sheet := linetest.Sheet()
	o.Sheet = &sheet
	return uitest.New(t, o)
}

func TestScreens(t *testing.T) {
	sheet := linetest.Sheet()
	o := uitest.Options{Sheet: &sheet}
	uitest.Golden(t, "board-morning", o, func(*uitest.Driver) {})
	uitest.Golden(t, "board-busy", o, func(d *uitest.Driver) { d.Work(20) })
	uitest.Golden(t, "board-alarm", o, func(d *uitest.Driver) {
		d.Work(6)
		d.Pass(25 * time.Minute) // nobody comes
	})
	uitest.Golden(t, "board-refused", o, func(d *uitest.Driver) {
		d.Work(20)
		d.Press("7", "enter") // the pressure washer beside the spinner
	})
	uitest.Golden(t, "board-packing", o, func(d *uitest.Driver) {
		toPacking(d)
		d.Press("enter", "x")
	})
	trainee := uitest.Options{Sheet: &sheet, Prefs: screen.Prefs{Trainee: true}}
	uitest.Golden(t, "board-trainee", trainee, func(d *uitest.Driver) { d.Work(3) })
	uitest.Golden(t, "board-caution", trainee, func(d *uitest.Driver) {
		d.Work(2)
		d.Press("enter")
	})
	uitest.Golden(t, "board-closed", uitest.Options{}, func(*uitest.Driver) {})
}

// An alarm rings when it begins and again after its pause, until somebody takes
// note; the star does that, and pressed again it shelves with a reason.
func TestAlarmsAreSilencedAndShelved(t *testing.T) {
	sheet := linetest.Sheet()
	var rings []string
	d := uitest.New(t, uitest.Options{Sheet: &sheet, Ring: func(_ screen.Prefs, _ line.Priority, text string) { rings = append(rings, text) }})
	d.Work(3)
	d.Pass(3*time.Minute + 30*time.Second + 90*time.Second)
	if len(rings) != 1 {
		t.Fatalf("rang %d times: %q", len(rings), rings)
	}
	d.Expect("confirm tub blower off", "* silence")
	d.Pass(3 * time.Minute)
	if len(rings) != 2 {
		t.Errorf("rang %d times while nobody took note: %q", len(rings), rings)
	}
	d.Press("*")
	d.Expect("noted 07:4")
	d.Pass(2 * time.Minute)
	if len(rings) != 2 {
		t.Errorf("rang %d times after somebody took note", len(rings))
	}
	d.Press("*", "1", "4", "0")
	d.ExpectNot("confirm tub blower off")
	d.Expect("Alarm shelved until")
}

// toPacking works until a batch is packed and only has to be counted.
func toPacking(d *uitest.Driver) line.Prompt {
	for range 200 {
		p := line.Prompts(d.State(), d.Clock.Now(), nil)
		if p[0].Act == line.ActFinish && p[0].From.Station == linetest.Pack {
			d.Skip(max(time.Second, p[0].At.Sub(d.Clock.Now())))
			return p[0]
		}
		d.Work(1)
	}
	return line.Prompt{}
}

// A weight is typed in the units that the preferences have, and kept in grams. 1 lb is
// 453.59237 g and 1 oz a sixteenth of it (NIST Handbook 44, appendix C).
func TestPackedWeightInPoundsAndOunces(t *testing.T) {
	d := open(t, uitest.Options{Prefs: screen.Prefs{Prefs: say.Prefs{US: true}}})
	p := toPacking(d)
	d.Press("enter", "5")
	d.Expect("4.4 oz a package", "(1 lb 6 oz)") // 125 g each
	d.Press("enter", "2", "+", "1", ",", "5", "/")
	d.Expect("inish packing PEA 1")
	d.Press("enter")
	d.ExpectLine("net weight", "2  lb", "1.5", "oz")
	d.Press("enter")
	d.Expect("1 weighed on a scale")
	d.Press("enter")
	if b := d.State().Batch(p.Batch); b.Packages != 5 || math.Abs(b.NetG-(2*453.59237+1.5*28.349523125)) > 1e-6 {
		t.Errorf("%d packages of %g g in all", b.Packages, b.NetG)
	} else if b.PackagesBy != line.Typed || b.NetBy != line.Weighed {
		t.Errorf("packages %s, weight %s", b.PackagesBy, b.NetBy)
	}
}

// What Enter takes as it stands is assumed, and so it stays.
func TestPackedWithoutWeighing(t *testing.T) {
	for _, tc := range []struct {
		keys          []string
		packages, net line.Source
	}{
		{[]string{"enter", "enter"}, line.Assumed, line.Assumed},
		{[]string{"6", "enter", "enter"}, line.Typed, line.Assumed},
		{[]string{"enter", "8", "1", "0", "enter", "2"}, line.Assumed, line.Typed},
		{[]string{"6", "enter", "8", "1", "0", "enter", "1"}, line.Typed, line.Weighed},
	} {
		d := open(t, uitest.Options{})
		p := toPacking(d)
		d.Press("enter")
		d.Press(tc.keys...)
		if b := d.State().Batch(p.Batch); b.PackagesBy != tc.packages || b.NetBy != tc.net {
			t.Errorf("%v: %d packages, %s, of %g g, %s", tc.keys, b.Packages, b.PackagesBy, b.NetG, b.NetBy)
		}
	}
}

// One batch from the cutting table to the fridge with nothing but Enter.
func TestOneBatchFromCutToFridge(t *testing.T) {
	sheet := line.Sheet{Date: "2026-12-03", Start: linetest.Morning, Crew: []string{"Ash"}, Crops: []line.Demand{{Crop: "pea", Trays: 3}}}
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	presses := 0
	enter := func() {
		presses++
		d.Press("enter")
	}
	for _, step := range []struct {
		says string
		then time.Duration
	}{
		{"Cut PEA 1, 3 trays", 10 * time.Minute},
		{"inish cutting PEA 1", 10 * time.Second},
		{"Put PEA 1 into the tub", 3*time.Minute + 30*time.Second}, // soak 3:00 and drain 0:30
		{"lift PEA 1 out of the tub, into", 4 * time.Minute},
		{"Stop the spinner, take PEA 1 out", 18 * time.Minute},
		{"Take PEA 1 off rack a", 10 * time.Second},
		{"Pack PEA 1, 3 trays", 4*time.Minute + 30*time.Second},
	} {
		d.Expect(step.says)
		enter()
		d.Skip(step.then)
	}
	for d.State().Batch(1).Fate != line.Cold {
		enter()
		d.Skip(5 * time.Second)
		if presses > 12 {
			t.Fatalf("%d presses and the batch is not cold:\n%s", presses, d.Screen())
		}
	}
	b := d.State().Batch(1)
	if b.Packages != 7 || b.NetG != 875 { // 3 trays of 300 g make 7 packages of 125 g
		t.Errorf("%d packages of %g g in all, want 7 of 875", b.Packages, b.NetG)
	}
	d.Expect("3 of 3 cold")
}

// What was started by mistake counts as on until somebody looks: the board asks, and
// Enter is the answer.
func TestUndoOfAStartAsks(t *testing.T) {
	d := open(t, uitest.Options{})
	for d.State().StepAt(line.Place{Station: linetest.Tub}) == nil {
		d.Work(1)
	}
	d.Pass(4 * time.Minute)
	d.Press("3", "enter")
	if !d.State().Power.Loads[linetest.Spinner].On {
		t.Fatalf("the spinner is not on:\n%s", d.Screen())
	}
	d.TakeBack()
	d.Expect("Is the spinner off?", "Enter for yes", "12.8 of 20 A")
	d.Press("esc", "enter")
	if d.State().Power.Loads[linetest.Spinner].On {
		t.Errorf("the spinner is still on:\n%s", d.Screen())
	}
}

func TestEnterBeforeItsTimeAsksOnce(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Press("enter")
	d.Skip(10 * time.Minute)
	d.Press("enter", "2", "enter") // out of the cutting table, into the tub
	d.Skip(time.Minute)
	d.Press("2", "enter")
	d.Expect("too early. Enter again to do it anyway.")
	if step := d.State().StepAt(line.Place{Station: linetest.Tub}); step == nil || step.Progress != line.Running {
		t.Fatal("the wash was ended")
	}
}

func TestRefusalStaysOnTheScreen(t *testing.T) {
	d := open(t, uitest.Options{})
	before := d.State().Batches
	d.Press("7", "enter") // no tray has been emptied yet
	d.Expect("Not now: no tray is ready for tray wash")
	d.Skip(time.Minute)
	d.Expect("Not now: no tray is ready for tray wash")
	if len(d.State().Chores) != 0 || len(d.State().Batches) != len(before) {
		t.Error("the refused start changed the line")
	}
}

func TestUndo(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Press("enter")
	d.Expect("inish cutting PEA 1")
	d.TakeBack()
	d.Expect("Cut PEA 1, 3 trays", "Put right: cutting table started, pea 1. It was not done.")
	if b := d.State().Batch(1); b.Fate != line.Waiting {
		t.Errorf("batch 1 is %+v, want waiting", b)
	}
}

func TestAdjustAndHold(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Press("enter")
	d.Skip(10 * time.Minute)
	d.Press("enter", "2", "enter")
	tub := line.Place{Station: linetest.Tub}
	planned := func() time.Duration { return d.State().StepAt(tub).Planned }
	was := planned()
	d.Press("+")
	d.Skip(2 * time.Second)
	d.Press("-")
	d.Skip(2 * time.Second)
	d.Press("+")
	if got := planned() - was; got != 15*time.Second {
		t.Errorf("+, - and + changed the countdown by %s, want 15s", got)
	}
	d.Press(".")
	if got := d.State().StepAt(tub).Progress; got != line.Held {
		t.Errorf("progress %d, want held", got)
	}
	d.Expect("held")
}

// With nothing chosen the key that held the only countdown lets it go on, and a step
// that is held after its time is over counts nothing below zero.
func TestHoldTwiceGoesOn(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Press("enter")
	d.Skip(10 * time.Minute)
	d.Press("enter", "enter")
	tub := line.Place{Station: linetest.Tub}
	d.Press(".")
	if got := d.State().StepAt(tub).Progress; got != line.Held {
		t.Fatalf("progress %d, want held", got)
	}
	d.Press(".")
	if got := d.State().StepAt(tub).Progress; got != line.Running {
		t.Fatalf("progress %d, want running", got)
	}
	d.Skip(20 * time.Minute)
	d.Press(".")
	d.Expect("Resume PEA 1 at the tub", "ts time was already up", "held 0:00")
	d.ExpectNot("-1")
}

// At a chosen station whose place is out of use, the sentence says so and how it
// comes back.
func TestBrokenPlaceIsSaid(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Press("4", "b", "1")
	d.Expect("The rack a is out of use", "orking again? 4, then b")
	d.Press("4", "b", "enter")
	d.Press("0")
	d.ExpectNot("out of use")
}

// A board that nobody touches goes back to the next thing to do, whatever station
// was chosen last.
func TestChosenStationIsForgotten(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Press("7")
	d.Pass(5 * time.Second)
	d.Expect("Nothing to do at the tray wash")
	d.Pass(5 * time.Second)
	d.Expect("Cut PEA 1, 3 trays")
	d.ExpectNot("Nothing to do")
}

// While a question has the keys, the key line names its keys and no others.
func TestKeyLineOfAQuestion(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Work(3)
	d.Pass(5 * time.Minute)
	d.Press("*", "*")
	d.Expect("ALARMS", "1 shelve it", "0 back")
	d.ExpectNot("Enter do it", "+ - time")
	d.Press("1")
	d.Expect("Why?", "1-4 shelve, for this reason")
	d.ExpectNot("other screens")
}

// The key that starts a held step again says why it does nothing while one runs.
func TestHelpSaysWhyNot(t *testing.T) {
	d := open(t, uitest.Options{W: 200, H: 60})
	d.Press("enter")
	d.Skip(10 * time.Minute)
	d.Press("enter", "enter", "?")
	d.Expect("restart the held step: pea 1 is running. Hold it first", "no station: no station is chosen")
}

// A resize at any moment leaves the next action, the amps and the refusal.
func TestResizeKeepsWhatMatters(t *testing.T) {
	d := open(t, uitest.Options{})
	d.Press("7", "enter", "esc")
	for _, size := range append(uitest.Sizes, [2]int{300, 90}, [2]int{60, 20}) {
		d.Resize(size[0], size[1])
		d.CheckFrame()
		d.Expect("Cut PEA 1, 3 trays", "Not now: no tray is ready for tray wash", "of 20 A")
	}
}

// What asks for a second press goes when that press no longer counts.
func TestAQuestionGoesWithItsTime(t *testing.T) {
	d := uitest.New(t, uitest.Options{})
	d.Do(line.OpenDay{Sheet: linetest.Sheet()})
	d.Pass(time.Second)
	d.Press("enter")
	d.Skip(10 * time.Minute)
	d.Press("enter", "enter") // cut, into the tub
	d.Press("2", "enter")
	d.Expect("Enter again to do it anyway")
	d.Pass(6 * time.Second)
	d.ExpectNot("Enter again to do it anyway")
}

// While something is typed * silences the alarms all the same, and nothing typed is
// lost.
func TestAlarmsAreSilencedFromAForm(t *testing.T) {
	d := open(t, uitest.Options{})
	toPacking(d)
	d.Press("enter", "6")
	d.Pass(25 * time.Minute) // nobody comes
	d.Expect("* silence")
	d.Press("*")
	d.Expect("* silence", "[6")
	d.Press("*", "*", "*", "*")
	d.Expect("ALARMS")
	d.Press("0")
	d.Expect("[6")
}
