package cleanup_test

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

// evening is the end of a day: all greens are cold, the trays wait to be washed.
func evening(t testing.TB, o uitest.Options) *uitest.Driver {
	sheet := linetest.Sheet()
	o.Sheet = &sheet
	if o.Site == nil {
		o.Site = linetest.Site()
		o.Site.Crew = []string{"Ash", "Rowan Oak"}
		sheet.Crew = o.Site.Crew
	}
	d := uitest.New(t, o)
	toTheEvening(t, d)
	return d
}

func toTheEvening(t testing.TB, d *uitest.Driver) {
	for range 400 {
		if d.State().Unfinished() == 0 {
			d.Pass(time.Second)
			return
		}
		for _, p := range line.Prompts(d.State(), d.Clock.Now(), nil) {
			if p.Batch == 0 && p.Chore != line.ChangeWater {
				continue // the clean-up is for the test
			}
			if wait := p.At.Sub(d.Clock.Now()); wait > 0 {
				d.Clock.Advance(wait)
			}
			if _, _, no := d.Line.Do(p.Command); no == nil {
				break
			}
			d.Clock.Advance(time.Minute)
		}
	}
	t.Fatal("the greens never get cold")
}

func open(d *uitest.Driver) { d.Press("/", "5") }

func entries(d *uitest.Driver, k line.EntryKind) []line.KeptEntry {
	var out []line.KeptEntry
	for _, e := range d.State().Entries {
		if e.Entry.Kind == k {
			out = append(out, e)
		}
	}
	return out
}

func typeIn(d *uitest.Driver, text string) {
	for _, c := range text {
		d.Press(string(c))
	}
}

// mixed mixes 3 % peroxide to 1.5 % and reads the strip: the numbers are made up.
func mixed(d *uitest.Driver) {
	d.Press("5", "enter", "enter")
	typeIn(d, "3")
	d.Press("enter")
	typeIn(d, "1.5")
	d.Press("+", "2")
	typeIn(d, "10")
	d.Press("enter")
	typeIn(d, "1,4")
	d.Press("+", "2")
}

func TestScreens(t *testing.T) {
	for name, show := range map[string]func(d *uitest.Driver){
		"cleanup":        func(*uitest.Driver) {},
		"cleanup-count":  func(d *uitest.Driver) { d.Press("enter", "-", "enter", "2") },
		"cleanup-wash":   func(d *uitest.Driver) { d.Do(line.SwitchOn{Load: linetest.Fans}); d.Pass(time.Second); d.Press("3") },
		"cleanup-danger": func(d *uitest.Driver) { d.Press("3", ".") },
		"cleanup-mix": func(d *uitest.Driver) {
			d.Press("5", "enter", "3")
			typeIn(d, "5.25")
			d.Press("enter")
			typeIn(d, "250")
			d.Press("enter")
			typeIn(d, "20")
		},
		"cleanup-contact":  func(d *uitest.Driver) { d.Press("6", "enter"); d.Skip(4 * time.Minute) },
		"cleanup-surfaces": func(d *uitest.Driver) { toSurfaces(d); d.Press("enter", "enter", "w", "enter") },
		"cleanup-sow":      func(d *uitest.Driver) { d.Press("8") },
		"cleanup-note":     func(d *uitest.Driver) { d.Press("9", "enter") },
	} {
		sheet := linetest.Sheet()
		site := linetest.Site()
		site.Crew = []string{"Ash", "Rowan Oak"}
		sheet.Crew = site.Crew
		uitest.Golden(t, name, uitest.Options{Sheet: &sheet, Site: site}, func(d *uitest.Driver) {
			toTheEvening(t, d)
			d.Do(line.UseSeed{Crop: "pea", SeedLot: "P-2291"})
			d.Do(line.TakeOrder{Customer: "the inn", Crop: "radish", Packages: 20, Due: "2026-12-20"})
			d.Pass(time.Second)
			open(d)
			show(d)
		})
	}
}

func toSurfaces(d *uitest.Driver) {
	mixed(d)
	d.Press("6", "enter")
	d.Skip(10*time.Minute + time.Second)
	d.Press("enter", "7")
}

// The whole clean-up by number pad: every step is entered, in order, and the day
// ends with the note.
func TestNumberPadCleansUp(t *testing.T) {
	d := evening(t, uitest.Options{W: 120, H: 40})
	open(d)
	d.Expect("Lift out the drain screens", "signing: A, Ash")
	d.Press("enter")
	d.Expect("18 trays were cut today")
	d.Press("enter")
	d.Expect("Pressure wash 18 trays, everything else off")
	d.Press("enter")
	d.Skip(20 * time.Minute)
	d.Press("enter")
	d.Expect("18 trays are washed, 0 still wait")
	d.Press("enter")
	mixed(d)
	d.Expect("Wet every surface")
	d.Press("enter")
	d.Skip(11 * time.Minute)
	d.Press("enter")
	for range 7 {
		d.Press("enter")
	}
	d.Expect("Sow 18 trays for the next round")
	for d.State().SowLeft() > 0 {
		d.Press("enter")
		d.Skip(5 * time.Minute)
		d.Press("enter")
	}
	d.Expect("Write the hand-over note")
	d.ExpectNot("Not done:")
	d.Press("enter", "enter")
	if d.State().Sheet != nil {
		t.Fatalf("the day is open:\n%s", d.Screen())
	}
	d.Expect("the day is closed")
	for k, n := range map[line.EntryKind]int{line.EntryCleaning: 1, line.EntryTraysOut: 1, line.EntryTraysIn: 1, line.EntryStrength: 1, line.EntrySurface: 7} {
		if got := entries(d, k); len(got) != n {
			t.Errorf("%d entries of %s, want %d", len(got), k, n)
		}
	}
	e := entries(d, line.EntrySurface)[0].Entry
	if e.Contact < 10*time.Minute || e.Value != 1.4 || e.Unit != line.UnitPercent || e.Product != "hydrogen peroxide" || e.Initials != "A" {
		t.Errorf("surface entry %+v", e)
	}
}

func TestContactTimeCanBeLonger(t *testing.T) {
	d := evening(t, uitest.Options{})
	open(d)
	d.Press("6", "enter", "+", "+")
	d.Skip(11 * time.Minute)
	d.Press("enter")
	d.Expect("keep the sanitizer wet for 1:00 more")
}

// Contact time cannot be ended early, whatever is pressed.
func TestContactTimeCannotBeFinishedEarly(t *testing.T) {
	d := evening(t, uitest.Options{})
	open(d)
	mixed(d)
	d.Press("6", "enter")
	d.Skip(9*time.Minute + 50*time.Second)
	d.Press("enter", "-")
	d.Expect("It can be made longer, not shorter")
	d.Press(".", "enter", "enter")
	d.Expect("keep the sanitizer wet for 0:10 more", "can't be cut short")
	if !d.State().Clean.IsZero() || len(d.State().Chores) != 1 {
		t.Fatal("the contact time was ended early")
	}
	d.Press("7", "enter")
	d.Expect("Not now: keep the sanitizer wet")
	if n := len(entries(d, line.EntrySurface)); n != 0 {
		t.Fatalf("%d surfaces were ticked off before the contact time was over", n)
	}
	d.Press("6")
	d.Skip(10 * time.Second)
	d.Press("enter")
	if d.State().Clean.IsZero() {
		t.Error("the contact time is over and cannot be finished")
	}
}

func TestInterlockSaysWhatIsStillOn(t *testing.T) {
	d := evening(t, uitest.Options{})
	d.Do(line.SwitchOn{Load: linetest.Fans})
	d.Pass(time.Second)
	open(d)
	d.Press("3")
	d.Expect("Not now:", "Still on: rack fans.", "Jet: never at people")
	d.Press(".")
	d.Expect("The jet cuts skin", ". next caution")
	d.Press(".", ".", ".")
	d.Press("enter")
	if len(d.State().Chores) != 0 {
		t.Fatal("the washer was started beside the fans")
	}
	d.Do(line.SwitchOff{Load: linetest.Fans})
	d.Pass(time.Second)
	d.Expect("Everything that can be off is off")
	d.Press("enter")
	if len(d.State().Chores) != 1 {
		t.Error("the washer does not start")
	}
}

func TestTrayCountsThatDoNotAgree(t *testing.T) {
	d := evening(t, uitest.Options{W: 120, H: 40})
	open(d)
	d.Press("2", "+", "+", "enter", "2")
	d.Expect("The counts don't match: 20 counted out, 18 cut.")
	first := entries(d, line.EntryTraysOut)[0]
	d.Press("enter") // counted again: 18
	d.Press("2")
	d.ExpectNot("do not agree")
	all := entries(d, line.EntryTraysOut)
	if len(all) != 2 || all[1].Entry.Corrects != first.Seq || all[0].Entry.Value != 20 {
		t.Errorf("the first count is not kept beside its correction: %+v", all)
	}
	d.Press("4", "+", "enter", "4")
	d.Expect("1 counted in, 0 washed; 17 trays are missing")
	d.Press("9")
	d.Expect("It starts with: Trays: 1 counted in, 0 washed; 17 trays are missing.")
}

// Kansas KDHE 1019: one US fluid ounce of 5.25 % hypochlorite in a gallon is 410
// mg/L, the ounce added to the gallon; 407 with the ounce counted in the volume. A
// gallon at 410.16 ppm with the ounce counted takes exactly one ounce: 52500/128.
func TestMixingTableAgainstAWorkedExample(t *testing.T) {
	d := evening(t, uitest.Options{W: 120, H: 40, Prefs: screen.Prefs{Prefs: say.Prefs{US: true}}})
	open(d)
	d.Press("5", "enter", "3")
	typeIn(d, "5.25")
	d.Press("enter")
	typeIn(d, "410.15625")
	d.Press("enter")
	typeIn(d, "1")
	d.Expect("chlorine (hypochlorite)", "29.6 mL (1 fl oz) of stock", "410.2 ppm (0.041%)", "Chlorine: never with acid")
	d.Expect("410.156 ppm, OVER limit 200 ppm, 40 CFR 180.940(a)")
	d.Expect("Strength and contact time come from the product's label")
	d.ExpectLine("5 gal", "148 mL", "5 fl oz")
	d.Press("+", "1")
	d.Expect("7.81 mL") // a litre of it
}

func TestReadingWithoutAValueIsRefused(t *testing.T) {
	d := evening(t, uitest.Options{})
	open(d)
	d.Press("5", "enter", "enter", "enter", "enter", "enter", "enter")
	d.Expect("Still missing: strip reads.")
	if n := len(entries(d, line.EntryStrength)); n != 0 {
		t.Errorf("%d readings without a value", n)
	}
	typeIn(d, "2000000")
	d.Press("enter")
	d.Expect("2e+06 ppm can't be right. Give 0 to 1e+06 ppm.")
}

func TestStockWeakerThanTheTarget(t *testing.T) {
	d := evening(t, uitest.Options{W: 120, H: 40})
	open(d)
	d.Press("5", "enter", "enter")
	typeIn(d, "3")
	d.Press("enter")
	typeIn(d, "5")
	d.Press("+", "2")
	typeIn(d, "1")
	d.Expect("The target must be weaker than the stock")
}

func TestWhoSigns(t *testing.T) {
	d := evening(t, uitest.Options{})
	open(d)
	d.Press("w")
	d.Expect("signing: RO, Rowan Oak")
	d.Press("enter")
	if e := entries(d, line.EntryCleaning)[0]; e.Entry.Initials != "RO" || e.Who() != "Rowan Oak" || e.By != "Ash" {
		t.Errorf("%+v", e)
	}
}

func TestHandOverNoteGoesIntoTheJournal(t *testing.T) {
	d := evening(t, uitest.Options{})
	d.Do(line.ReportTrouble{At: line.Place{Station: linetest.Tub}, What: "slow drain", Effect: line.EffectAnnoys})
	d.Pass(time.Second)
	open(d)
	d.Press("9", "enter")
	d.Expect("tub: slow drain.")
	typeIn(d, " Order seed.")
	d.Press("enter")
	var note string
	_ = d.Store.Replay(1, func(r line.Record) error {
		if e, ok := r.Event.(line.DayClosed); ok {
			note = e.Note
		}
		return nil
	})
	if want := "18 trays still to sow. tub: slow drain. Order seed."; note != want {
		t.Errorf("note %q, want %q", note, want)
	}
}

// With greens on the line the day is not closed, and the note is not lost.
func TestDayWithGreensIsNotClosed(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	open(d)
	d.Press("9", "enter")
	typeIn(d, "early")
	d.Press("enter")
	d.Expect("batches aren't cold yet", "early")
	if d.State().Sheet == nil {
		t.Error("the day was closed")
	}
}

// The caution in full is the one that a trainee always sees.
func TestTraineeSeesCautionsInFull(t *testing.T) {
	d := evening(t, uitest.Options{W: 120, H: 40, Prefs: screen.Prefs{Trainee: true}})
	open(d)
	d.Press("3")
	d.Expect("The jet cuts skin", "licensed electrician")
	if strings.Contains(d.Screen(), "Jet: never") {
		t.Error("the short caution stands beside the full one")
	}
}
