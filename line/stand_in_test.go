package line_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/recipes"
)

// first is the best prompt, which has to be ready.
func (sh *shed) first() line.Prompt {
	sh.t.Helper()
	all := line.Prompts(sh.s, sh.now, nil)
	if len(all) == 0 || !all[0].Ready(sh.now) {
		sh.t.Fatalf("nothing to do: %+v", all)
	}
	return all[0]
}

// With the spinner out of use the greens that are wet come before new work, and are
// spun by hand without a machine that counts.
func TestASpinnerOutOfUseIsStoodInFor(t *testing.T) {
	sh := openShed(t)
	sh.washed()
	sh.pass(30 * time.Second)
	sh.do(line.ReportTrouble{At: at(linetest.Spin, 0), What: "belt torn", Effect: line.EffectOut})
	p := sh.first()
	if p.Act != line.ActAdvance || p.Batch != 1 || !p.ByHand || p.To != at(linetest.Spin, 0) {
		t.Fatalf("the board asks for %+v", p)
	}
	sh.do(p.Command)
	step := sh.s.Batch(1).Step
	if !step.ByHand || step.Load != line.NoLoad || step.Planned != 0 || sh.s.Power.Loads[linetest.Spinner].On {
		t.Fatalf("by hand, and yet %+v", step)
	}
	if got, want := (line.Advice{}).HandTime(sh.s, step.Place, "pea", 3, "Ash"), 9*time.Minute; got != want {
		t.Errorf("three trays by hand take %s, want %s", got, want)
	}
	if all := line.Prompts(sh.s, sh.now, nil); all[0].Act == line.ActStart && all[0].Ready(sh.now) {
		t.Errorf("the only person spins by hand and is asked for %+v", all[0])
	}
	sh.pass(9 * time.Minute)
	sh.do(line.MendTrouble{ID: sh.s.Backlog[0].ID})
	sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	if b := sh.s.Batch(1); b.Step.Place.Station != linetest.Rack || b.Ran.Spin != 0 {
		t.Errorf("from the hands it went to %+v after %s of spin", b.Step.Place, b.Ran.Spin)
	}
}

// A machine that breaks while it runs holds its batch, which goes on by hand from what
// has run; the greens wait wet meanwhile.
func TestABreakWhileItRuns(t *testing.T) {
	sh := openShed(t)
	spun(sh)
	sh.do(line.Undo{}) // it spins on
	sh.pass(time.Minute)
	sh.do(line.MarkBroken{At: at(linetest.Spin, 0), Why: "belt torn"})
	b := sh.s.Batch(1)
	if b.Step.Progress != line.Held || sh.s.Power.Loads[linetest.Spinner].On {
		t.Fatalf("after the break %+v", b.Step)
	}
	if out, ok := sh.s.OutOfUse(at(linetest.Spin, 0)); !ok || out.What != "belt torn" {
		t.Errorf("out of use: %+v", out)
	}
	p := sh.first()
	if p.Act != line.ActResume || !p.ByHand {
		t.Fatalf("the board asks for %+v", p)
	}
	sh.do(p.Command)
	if b = sh.s.Batch(1); !b.Step.ByHand || b.Step.Progress != line.Running || b.Step.Load != line.NoLoad {
		t.Errorf("by hand: %+v", b.Step)
	}
}

// A shelf whose fan died is left for another; the greens go on there with what they
// have left.
func TestAShelfOutOfUseIsLeftForAnother(t *testing.T) {
	sh := openShed(t)
	sh.dry(1)
	sh.pass(5 * time.Minute)
	sh.do(line.MarkBroken{At: at(linetest.Rack, 0), Why: "fan died"})
	left := sh.s.Batch(1).Step.Left(sh.now)
	p := sh.first()
	if p.Act != line.ActMove || p.To != at(linetest.Rack, 1) {
		t.Fatalf("the board asks for %+v", p)
	}
	sh.pass(2 * time.Minute)
	sh.do(p.Command)
	sh.do(sh.first().Command)
	if step := sh.s.Batch(1).Step; step.Place != p.To || step.Left(sh.now) != left || step.Progress != line.Running {
		t.Errorf("on the other shelf %+v, want %s left", step, left)
	}
}

// What is slow makes the countdowns there longer, and those that run as well; mended,
// the rest is as it was. 18 minutes at twice the time are 36.
func TestASlowPlaceHasLongerCountdowns(t *testing.T) {
	sh := openShed(t)
	sh.dry(1)
	sh.pass(8 * time.Minute)
	sh.do(line.ReportTrouble{At: at(linetest.Rack, line.WholeStation), What: "a fan died", Effect: line.EffectSlow, SlowPercent: 100})
	if left := sh.s.Batch(1).Step.Left(sh.now); left != 20*time.Minute {
		t.Errorf("10 minutes left became %s", left)
	}
	b := sh.s.Batch(2)
	r, _ := sh.s.RecipeOf(b)
	if got := line.PlannedTime(sh.s, b, at(linetest.Rack, 1), &r, ""); got != 36*time.Minute {
		t.Errorf("a new batch dries %s", got)
	}
	sh.pass(10 * time.Minute)
	sh.do(line.MendTrouble{ID: sh.s.Backlog[0].ID})
	if left := sh.s.Batch(1).Step.Left(sh.now); left != 5*time.Minute {
		t.Errorf("10 slow minutes left became %s", left)
	}
}

// A recipe may allow that greens are not spun; then they dry longer. No recipe allows
// to leave the wash out.
func TestSkippingAStep(t *testing.T) {
	sh := openShed(t)
	sh.washed()
	sh.pass(30 * time.Second)
	sh.do(line.Finish{At: at(linetest.Tub, 0)})
	sh.refused(line.Skip{Batch: 1, Reason: "spinner broken"}, line.RuleOrder)
	r, _ := sh.s.Recipe("pea")
	r.Skippable, r.By, r.Why = []recipes.Step{recipes.Spin}, "Ash", "loose leaves dry well"
	sh.do(line.Revise{Recipe: r})
	sh.refused(line.Skip{Batch: 1}, line.RuleValue)
	sh.refused(line.Skip{Batch: 2, Reason: "no tub"}, line.RuleOrder)
	sh.do(line.Skip{Batch: 1, Reason: "spinner broken"})
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	if step := sh.s.Batch(1).Step; step.Place.Station != linetest.Rack || step.Planned <= r.Dry {
		t.Errorf("not spun, it goes to %+v for %s", step.Place, step.Planned)
	}
	r.Skippable = []recipes.Step{recipes.Soak}
	sh.refused(line.Revise{Recipe: r}, line.RuleValue)
}

// Batches on each other's shelves change places and nothing else.
func TestTheWrongShelf(t *testing.T) {
	sh := openShed(t)
	sh.dry(1)
	sh.dry(2)
	one, two := sh.s.Batch(1).Step, sh.s.Batch(2).Step
	sh.do(line.Move{Batch: 1, To: two.Place})
	one.Place, two.Place = two.Place, one.Place
	if sh.s.Batch(1).Step != one || sh.s.Batch(2).Step != two {
		t.Errorf("after the change of places %+v and %+v", sh.s.Batch(1).Step, sh.s.Batch(2).Step)
	}
	sh.do(line.Move{Batch: 1, To: at(linetest.Rack, 3)})
	sh.do(line.Move{Batch: 1, To: at(linetest.Rack, 1)})
	sh.refused(line.Move{Batch: 1, To: at(linetest.Tub, 0)}, line.RuleOrder)
	if sh.s.Batch(1).Step != one {
		t.Errorf("there and back %+v", sh.s.Batch(1).Step)
	}
}

// The time by hand counts from the work and not from what stood in between.
func TestHeldHandWorkEndsLater(t *testing.T) {
	sh := openShed(t)
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	sh.pass(2 * time.Minute)
	sh.do(line.Hold{At: at(linetest.Cut, 0)})
	sh.pass(30 * time.Minute)
	sh.do(line.Resume{At: at(linetest.Cut, 0)})
	p := line.Prompts(sh.s, sh.now, nil)[0]
	if want := sh.now.Add(8 * time.Minute); !p.At.Equal(want) { // three trays of 200 s less 2 minutes
		t.Errorf("cut until %s, want %s", p.At.Format("15:04:05"), want.Format("15:04:05"))
	}
}
