package pages_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

// What happened is told in two steps at the station's screen, on the number pad alone.
func TestWhatHappenedAtAStation(t *testing.T) {
	d := openStation(t, 80, 24)
	busyRack(d)
	d.Press("4", "4", "4", "1", "/")
	d.Expect("What happened here?", "1  one tray dropped", "5  too wet: spin it again")
	d.Press("1") // one tray dropped
	if b := d.State().Batch(1); b.Trays != 2 || b.Lost != 1 {
		t.Fatalf("one tray was dropped: %+v", b)
	}
	d.Press("/", "2", "3", "enter") // there were three all the same
	if b := d.State().Batch(1); b.Trays != 3 {
		t.Errorf("three were counted: %d", b.Trays)
	}
	d.Press("/", "4", "1") // it is where pea 2 stands by the books
	if b := d.State().Batch(1); b.Step.Place != at(linetest.Rack, 1) || d.State().Batch(2).Step.Place != at(linetest.Rack, 0) {
		t.Errorf("pea 1 is at %v", b.Step.Place)
	}
	d.Press("/", "5") // too wet
	if b := d.State().Batch(1); b.Step.Place != at(linetest.Spin, 0) || b.Step.Progress != line.Running || b.Ran.SpunAgain != 1 {
		t.Errorf("pea 1 at %+v", b.Step)
	}
	d.Press("/", "9")
	d.Expect("there's no tub here")
	d.Press("/", "0")
	d.ExpectNot("What happened here?")
}

// A tub drained early, an early lift and a spinner that will not run, by keys from the
// board to what the board says then.
func TestWhatHappenedIsSaidOnTheBoard(t *testing.T) {
	d := openStation(t, 80, 24)
	d.Do(line.Start{Batch: 1, To: line.Anywhere})
	d.Skip(10 * time.Minute)
	d.Do(line.Advance{Batch: 1, To: line.Anywhere})
	d.Skip(time.Minute)
	d.Press("2", "2", "/", "9", "0")
	d.Expect("Fill the tub again, then go on with PEA 1")
	d.Press("enter")
	if w := d.State().Water[linetest.Tub]; w.Empty || d.State().Batch(1).Step.Progress != line.Running {
		t.Fatalf("filled again: %+v", w)
	}
	d.Press("2", "2", "/", "3", "0")
	if b := d.State().Batch(1); b.Step.Progress != line.Finished {
		t.Fatalf("lifted early: %+v", b.Step)
	}
	d.Press("3", "3", "/", "8", "1", "0")
	d.Expect("Spin PEA 1 by hand", "pinner is out of use: won't run")
	d.Press("enter")
	if step := d.State().Batch(1).Step; !step.ByHand || step.Place != at(linetest.Spin, 0) {
		t.Errorf("by hand: %+v", step)
	}
	d.ExpectNot("Cut PEA 2 now")
}

// Enter on a held batch lets it go on, and nothing else, on the board and at its station.
func TestEnterOnAHeldBatch(t *testing.T) {
	for _, keys := range [][]string{{"enter"}, {"2", "enter"}, {"2", "2", "enter"}} {
		d := openStation(t, 80, 24)
		d.Do(line.Start{Batch: 1, To: line.Anywhere})
		d.Skip(10 * time.Minute)
		d.Do(line.Advance{Batch: 1, To: line.Anywhere})
		d.Do(line.Hold{At: at(linetest.Tub, 0)})
		d.Do(line.MarkTripped{Circuit: 0}) // so that nothing may start
		d.Skip(time.Minute)
		d.Press(keys...)
		if step := d.State().Batch(1).Step; step.Place != at(linetest.Tub, 0) || step.Progress != line.Held {
			t.Errorf("%v: %+v", keys, step)
		}
	}
}

func TestFactScreens(t *testing.T) {
	sheet := linetest.Sheet()
	uitest.Golden(t, "station-facts", uitest.Options{Sheet: &sheet}, func(d *uitest.Driver) {
		busyRack(d)
		d.Press("4", "4", "4", "/")
	})
}
