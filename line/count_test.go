package line_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// told is what a truth about trays leaves of a batch, whenever it is told.
func told(s *line.State, id int) [4]int {
	sow := 0
	for _, it := range s.Sowing {
		if it.Crop == s.Batch(id).Crop {
			sow += it.Trays
		}
	}
	return [4]int{s.Batch(id).Trays, s.Batch(id).Lost, s.Trays.Dirty, sow}
}

// A count that is put right late leaves what it would have left in time: of the batch,
// of the trays to wash and of those to sow.
func TestTraysAreCountedLate(t *testing.T) {
	var want [4]int
	for late := range 4 {
		sh := openShed(t)
		for step := range 4 { // uncut, while it is cut, in the tub, in the spinner
			if step == late {
				sh.do(line.CountTrays{Batch: 1, Trays: 2})
			}
			if step < 3 {
				sh.pass(11 * time.Minute)
				sh.do(line.Advance{Batch: 1, To: line.Anywhere})
			}
		}
		if got := told(sh.s, 1); late == 0 {
			want = got
		} else if got != want {
			t.Errorf("told at step %d: %v, in time %v", late, got, want)
		}
	}
	if want != [4]int{2, 0, 2, 5} {
		t.Errorf("two of three trays were there: %v", want)
	}
	sh := openShed(t)
	sh.refused(line.CountTrays{Batch: 1, Trays: 3}, line.RuleNothing)
	sh.refused(line.CountTrays{Batch: 1}, line.RuleValue)
}

// A dropped tray is lost wherever it happens, and its growing tray is washed once.
func TestOneTrayIsDropped(t *testing.T) {
	for late := range 4 {
		sh := openShed(t)
		for step := range 4 {
			if step == late {
				sh.do(line.DropTrays{Batch: 1, Trays: 1, Reason: "dropped"})
			}
			if step < 3 {
				sh.pass(11 * time.Minute)
				sh.do(line.Advance{Batch: 1, To: line.Anywhere})
			}
		}
		if got := told(sh.s, 1); got != [4]int{2, 1, 3, 6} {
			t.Errorf("dropped at step %d: %v", late, got)
		}
	}
	sh := openShed(t)
	sh.refused(line.DropTrays{Batch: 1, Trays: 4, Reason: "dropped"}, line.RuleValue)
	sh.do(line.DropTrays{Batch: 1, Trays: 3, Reason: "dropped"})
	if sh.s.Batch(1).Fate != line.Scrapped {
		t.Error("all trays were dropped, and the batch goes on")
	}
}

// A second spin is told to the recipe: what the batch ran is both together.
func TestSpunAgain(t *testing.T) {
	sh := openShed(t)
	spun(sh)
	sh.do(line.Again{Batch: 1, Kind: line.Spin})
	if step := sh.s.Batch(1).Step; step.Place != at(linetest.Spin, 0) || step.Planned != 4*time.Minute || step.Progress != line.Running {
		t.Fatalf("spun again: %+v", step)
	}
	sh.pass(4 * time.Minute)
	sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	sh.pass(time.Minute)
	sh.do(line.Again{Batch: 1, Kind: line.Spin}) // it is still too wet on the rack
	sh.pass(4 * time.Minute)
	sh.do(line.Finish{At: at(linetest.Spin, 0)})
	if ran := sh.s.Batch(1).Ran; ran.SpunAgain != 2 || ran.Spin < 12*time.Minute {
		t.Errorf("ran %+v", ran)
	}
	if next, _ := sh.s.NextKind(sh.s.Batch(1)); next != line.Dry {
		t.Errorf("it goes on to %s", next)
	}
	sh.refused(line.Again{Batch: 1, Kind: line.Dry}, line.RuleOrder)
	sh.refused(line.Again{Batch: 2, Kind: line.Spin}, line.RuleOrder)
}

// A tub that was let out early holds what washes in it, takes nothing until it is full
// and is fresh then. Where a sanitizer was in the water, the wash begins again.
func TestATubDrainedEarly(t *testing.T) {
	for _, contact := range []time.Duration{0, 2 * time.Minute} {
		sh := openShed(t)
		r, _ := sh.s.Recipe("pea")
		r.SanitizerContact, r.By, r.Why = contact, "Ash", "a test"
		sh.do(line.Revise{Recipe: r})
		sh.do(line.Start{Batch: 1, To: line.Anywhere})
		sh.pass(10 * time.Minute)
		sh.do(line.Advance{Batch: 1, To: line.Anywhere})
		sh.pass(time.Minute)
		sh.do(line.DrainTub{Station: linetest.Tub})
		b := sh.s.Batch(1)
		if b.Step.Progress != line.Held || sh.on(linetest.Blower) || sh.s.WetWait(b, sh.now.Add(time.Minute)) != time.Minute {
			t.Fatalf("after the drain %+v", b)
		}
		sh.refused(line.DrainTub{Station: linetest.Tub}, line.RuleNothing)
		sh.pass(3 * time.Minute)
		p := sh.first()
		if p.Act != line.ActResume {
			t.Fatalf("the board asks for %+v", p)
		}
		sh.do(p.Command)
		want := 2*time.Minute + 30*time.Second
		if contact > 0 {
			want += time.Minute
			sh.refused(line.Resume{At: at(linetest.Tub, 0)}, line.RuleOrder)
		}
		if left := sh.s.Batch(1).Step.Left(sh.now); left != want {
			t.Errorf("contact %s: %s left, want %s", contact, left, want)
		}
		if w := sh.s.Water[linetest.Tub]; w.Empty || w.Batches != 1 {
			t.Errorf("new water %+v", w)
		}
	}
	sh := openShed(t)
	sh.do(line.DrainTub{Station: linetest.Tub})
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	sh.pass(10 * time.Minute)
	sh.do(line.Finish{At: at(linetest.Cut, 0)})
	sh.refused(line.Start{Batch: 1, To: line.Anywhere}, line.RuleWater)
	if p := sh.first(); p.Act != line.ActChore || p.Chore != line.ChangeWater {
		t.Errorf("the tub is empty, and the board asks for %+v", p)
	}
}
