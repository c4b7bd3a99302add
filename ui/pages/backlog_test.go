package pages_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/screen"
	"shedbell/ui/uitest"
)

func openBacklog(t *testing.T, o uitest.Options) *uitest.Driver {
	sheet := linetest.Sheet()
	o.Sheet = &sheet
	return uitest.New(t, o)
}

var shelfB = line.Place{Station: linetest.Rack, Slot: 1}

func TestBacklogScreens(t *testing.T) {
	sheet := linetest.Sheet()
	uitest.Golden(t, "backlog-new", uitest.Options{Sheet: &sheet}, func(d *uitest.Driver) {
		d.Work(12)
		d.Press("4", "b")
	})
	uitest.Golden(t, "backlog", uitest.Options{Sheet: &sheet}, func(d *uitest.Driver) {
		d.Do(line.ReportTrouble{At: shelfB, What: "dead fan", Effect: line.EffectOut})
		d.Skip(20 * time.Minute)
		d.Do(line.ReportTrouble{At: line.Place{Station: linetest.Tub}, What: "slow drain", Effect: line.EffectSlow, SlowPercent: 50})
		d.Do(line.ReportTrouble{At: line.Nowhere, What: "the light over the door flickers", Effect: line.EffectAnnoys})
		d.Pass(time.Second)
		d.Press("/", "9")
	})
}

// Three keys from any station: the station, b, what it is. The board is back at once.
func TestBacklogThreeKeysFromEveryStation(t *testing.T) {
	for station, kind := range line.Kinds() {
		d := openBacklog(t, uitest.Options{})
		d.Press(string(rune('1'+station)), "b", "1")
		if n := len(d.State().Backlog); n != 1 {
			t.Fatalf("%s: %d troubles after three keys", kind, n)
		}
		if tr := d.State().Backlog[0]; tr.What != "won't run" || tr.At.Station != station || tr.Effect != line.EffectOut {
			t.Errorf("%s: %+v", kind, tr)
		}
		if !d.State().IsBroken(line.Place{Station: station}) {
			t.Errorf("%s is still in use", kind)
		}
		d.Expect("0 of 18 cold", "out of use: won't run")
	}
}

func TestAShelfIsOutOfUseUntilItIsMended(t *testing.T) {
	d := openBacklog(t, uitest.Options{W: 120, H: 40})
	d.Press("4", "b", "+", "2", "enter", "1")
	if !d.State().IsBroken(shelfB) {
		t.Fatalf("shelf b is in use; out of use: %v", d.State().Broken)
	}
	d.Press("b", "/")
	d.ExpectLine("won't run", "rack b: out of use")
	d.Expect("Out of use until fixed: rack b.")
	d.Press("enter")
	if d.State().IsBroken(shelfB) || len(d.State().Backlog) > 0 {
		t.Error("shelf b is still out of use")
	}
	d.Expect("Nothing broken", "rack b back in use")
	d.TakeBack()
	if !d.State().IsBroken(shelfB) {
		t.Error("the mending was not taken back")
	}
}

// What a station took out of use is on the list with its reason.
func TestBacklogOfWhatAStationTookOutOfUse(t *testing.T) {
	d := openBacklog(t, uitest.Options{})
	d.Do(line.MarkBroken{At: shelfB, Why: "leaks"})
	d.Pass(time.Second)
	d.Press("b", "/")
	d.ExpectLine("leaks", "rack b: out of use")
	d.Expect("Out of use until fixed: rack b.")
}

// What runs and breaks is held: the screen says so before the digit, and what to do.
func TestWhatRunsIsHeldWhenItBreaks(t *testing.T) {
	d := openBacklog(t, uitest.Options{})
	d.Press("enter") // cut pea 1
	d.Press("1", "b")
	d.Expect("Out of use holds it", "switch the machine off")
	d.Press("1")
	if step := d.State().Batch(1).Step; d.State().Backlog[0].Effect != line.EffectOut || step.Progress != line.Held {
		t.Errorf("%+v, the step %+v", d.State().Backlog[0], step)
	}
}

func TestEffectIsChosen(t *testing.T) {
	d := openBacklog(t, uitest.Options{})
	d.Press("2", "b", "+", "5") // twice as slow
	d.Press("1")
	if b := d.State().Backlog; len(b) != 1 || b[0].Effect != line.EffectSlow || b[0].SlowPercent != 100 || b[0].At.Station != linetest.Tub {
		t.Errorf("on the backlog: %+v", b)
	}
}

func TestBacklogOtherIsTyped(t *testing.T) {
	d := openBacklog(t, uitest.Options{})
	d.Press("7", "b", "5", "enter")
	d.Expect("Still missing: what.")
	for _, c := range "hose 0 drips" {
		d.Press(string(c))
	}
	d.Press("enter")
	if tr := d.State().Backlog[0]; tr.What != "hose 0 drips" || tr.Effect != line.EffectAnnoys {
		t.Errorf("%+v", tr)
	}
	d.Expect("hose 0 drips, tray wash works as before")
}

func TestTheShedHasNoPlaceToTakeOutOfUse(t *testing.T) {
	d := openBacklog(t, uitest.Options{})
	d.Press("b", "2")
	if tr := d.State().Backlog[0]; tr.At != line.Nowhere || tr.Effect != line.EffectAnnoys {
		t.Errorf("%+v", tr)
	}
}

func TestBacklogLeavingWritesNothing(t *testing.T) {
	d := openBacklog(t, uitest.Options{})
	d.Press("2", "b", "/", "0")
	d.Expect("1 CUT")
	d.Press("/", "9")
	d.Expect("Nothing broken")
	d.Press("enter")
	if n := len(d.State().Backlog); n != 0 {
		t.Errorf("%d troubles", n)
	}
}

// What it cost comes from the journal, and the dearest stands first.
func TestRankedByWhatTheyCost(t *testing.T) {
	d := openBacklog(t, uitest.Options{W: 120, H: 40})
	d.Do(line.ReportTrouble{At: line.Nowhere, What: "flickering light", Effect: line.EffectAnnoys})
	d.Do(line.ReportTrouble{At: line.Place{Station: linetest.Tub}, What: "slow drain", Effect: line.EffectSlow, SlowPercent: 100})
	d.Work(12)
	d.Press("/", "9")
	d.ExpectLine("slow drain", "tub: 100 % slower", " min")
	d.ExpectLine("flickering light", "none yet")
	lines := strings.Split(d.Screen(), "\n")
	if !strings.Contains(lines[screen.HeadRows(screen.Size{W: 120, H: 40})+2], "slow drain") {
		t.Errorf("the dearest is not first:\n%s", d.Screen())
	}
}

// The list says what troubles cost whichever way it is reached: from the menu, or
// from the board by leaving the form.
func TestCostsAreReadFromTheBoardToo(t *testing.T) {
	list := func(keys ...string) string {
		d := openBacklog(t, uitest.Options{})
		d.Do(line.ReportTrouble{At: line.Place{Station: linetest.Tub}, What: "slow drain", Effect: line.EffectSlow, SlowPercent: 50})
		d.Work(12)
		d.Press(keys...)
		d.Expect("backlog, 1 problem")
		return d.Screen()
	}
	menu, form := list("/", "9"), list("b", "/")
	if strings.Contains(menu, "none yet") || menu != form {
		t.Errorf("from the menu\n%s\nfrom the board\n%s", menu, form)
	}
}
