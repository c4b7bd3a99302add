package pages_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

// cutPower leaves a shed in the middle of its morning unwatched for a while.
func cutPower(d *uitest.Driver, away time.Duration) {
	d.Do(line.Start{Batch: 1, To: line.Anywhere})
	d.Skip(10 * time.Minute)
	d.Do(line.Advance{Batch: 1, To: line.Anywhere})
	d.Skip(4 * time.Minute)
	d.Do(line.Advance{Batch: 1, To: line.Anywhere})
	d.Do(line.Start{Batch: 5, To: line.Anywhere})
	d.Skip(10 * time.Minute)
	d.Do(line.Advance{Batch: 1, To: line.Anywhere})
	d.Do(line.Advance{Batch: 5, To: line.Anywhere})
	d.Skip(time.Minute)
	last := d.Clock.Now()
	d.Clock.Advance(away)
	d.Do(line.Recover{LastBeat: last})
	d.Pass(time.Second)
}

func TestRecoveryScreens(t *testing.T) {
	sheet := linetest.Sheet()
	uitest.Golden(t, "recovery", uitest.Options{Sheet: &sheet}, func(d *uitest.Driver) { cutPower(d, 10*time.Minute) })
	uitest.Golden(t, "recovery-days", uitest.Options{Sheet: &sheet}, func(d *uitest.Driver) { cutPower(d, 72*time.Hour) })
}

func recoveryDriver(t *testing.T, away time.Duration) *uitest.Driver {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	cutPower(d, away)
	return d
}

// One key each: the first goes on, the second is done; then the board is back.
func TestRecoveryOneKeyEach(t *testing.T) {
	d := recoveryDriver(t, 10*time.Minute)
	d.Expect("Nobody was watching", "(10 min)", "2 machines", "1 PEA 1, rack a wet for 10:01 ran at least 1:00 of 18:00, 17:00 left",
		"2 SUNFLOWER 1, tub wet for 10:01 ran at least 1:00 of 5:30, 4:30 left")
	d.Press("enter")
	d.ExpectNot("PEA 1, rack a wet")
	if step := d.State().Batch(1).Step; step.Progress != line.Running || step.Left(d.Clock.Now()) != 17*time.Minute {
		t.Errorf("pea 1 is %+v, want going on with 17 min left", step)
	}
	d.Press("-")
	if p := d.State().Batch(5).Step.Progress; p != line.Finished {
		t.Errorf("sunflower 1 is %v, want finished", p)
	}
	d.ExpectNot("what was running")
	d.Expect("of 18 cold") // the board
}

func TestRecoveryStartAgainAndChoose(t *testing.T) {
	d := recoveryDriver(t, 10*time.Minute)
	d.Press("2", "+")
	if step := d.State().Batch(5).Step; step.Progress != line.Running || step.Left(d.Clock.Now()) != 5*time.Minute+30*time.Second {
		t.Errorf("sunflower 1 is %+v, want running from the beginning", step)
	}
	d.Expect("1 machine,")
}

// Put off with one key, it stays away, and can be found again.
func TestRecoveryLater(t *testing.T) {
	d := recoveryDriver(t, 10*time.Minute)
	d.Press("0")
	d.Pass(time.Minute)
	d.ExpectNot("what was running")
	d.Press("/")
	d.Expect("recovery")
}

// After days the wait is far over its limit, and the fridge is asked about.
func TestRecoveryDaysAway(t *testing.T) {
	d := recoveryDriver(t, 72*time.Hour)
	d.Expect("(3 days)", "limit 15:00", "Fridge not watched", "6 Dec")
}

func TestRecoveryNothingWaits(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.ExpectNot("what was running")
}
