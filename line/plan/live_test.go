package plan_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/plan"
)

// mend mends a plan at a moment of a day, and has it checked.
func mend(t *testing.T, seed uint64, n int, m linetest.Moment, before *plan.Plan) *plan.Plan {
	t.Helper()
	mended, err := plan.Repair(m.State, m.Now, before, plan.Options{})
	if err != nil {
		t.Fatalf("day %d, moment %d: %v", seed, n, err)
	}
	for _, bad := range checkPlan(m.State, mended) {
		t.Errorf("day %d, moment %d, mended: %s", seed, n, bad)
	}
	return mended
}

// TestAnyMoment plans and mends from states in the middle of random days, after
// mishaps too, and has the independent checker look at every plan.
func TestAnyMoment(t *testing.T) {
	for seed := range uint64(25) {
		s := linetest.RandomDay(seed)
		before, err := plan.Repair(s, linetest.Morning, nil, plan.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, bad := range checkPlan(s, before) {
			t.Errorf("day %d: %s", seed, bad)
		}
		for n, m := range linetest.Moments(s, 8, seed) {
			if m.State.DayDone() {
				continue
			}
			mended := mend(t, seed, n, m, before)
			if n > 1 {
				continue
			}
			p, err := plan.Solve(context.Background(), m.State, m.Now, plan.Options{Budget: 60 * time.Millisecond, Previous: mended})
			if p == nil {
				t.Fatalf("day %d, moment %d: %v", seed, n, err)
			}
			for _, bad := range checkPlan(m.State, p) {
				t.Errorf("day %d, moment %d: %s", seed, n, bad)
			}
		}
	}
}

// TestSameSeedSamePlan: what one goroutine finds within its first schedules depends
// on the seed alone, here as far as it is proved.
func TestSameSeedSamePlan(t *testing.T) {
	s := linetest.DayOf(4, 2, 3)
	a := solve(t, s, linetest.Morning, plan.Options{Budget: time.Minute, Workers: 1, Seed: 7})
	b := solve(t, s, linetest.Morning, plan.Options{Budget: time.Minute, Workers: 1, Seed: 7})
	if len(a.Steps) != len(b.Steps) {
		t.Fatal("the plans differ in length")
	}
	for i := range a.Steps {
		if a.Steps[i] != b.Steps[i] {
			t.Errorf("step %d: %+v and %+v", i, a.Steps[i], b.Steps[i])
		}
	}
}

// TestOnTimeNothingMoves: as long as all goes by the plan, mending it changes no
// instant that is still to come.
func TestOnTimeNothingMoves(t *testing.T) {
	s := starter(t)
	p := solve(t, s, linetest.Morning, plan.Options{Budget: time.Second, Seed: 1})
	now := p.Steps[0].Start
	first := p.Steps[0]
	s, _, no := line.Do(s, line.Start{Batch: first.Batch, To: first.Place}, now, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	work := first.Ready.Sub(first.Start)
	for _, after := range []time.Duration{0, 100 * time.Second, work} {
		q, err := plan.Repair(s, now.Add(after), p, plan.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if !q.Finish.Equal(p.Finish) {
			t.Errorf("after %s the day ends at %s instead of %s", after, q.Finish, p.Finish)
		}
		for i := range q.Steps {
			if i > 0 && !q.Steps[i].Start.Equal(p.Steps[i].Start) {
				t.Errorf("after %s: %s at %s starts at %s instead of %s", after, q.Steps[i].Name, q.Steps[i].Kind, q.Steps[i].Start, p.Steps[i].Start)
			}
		}
	}
}

// TestSmallGainKeepsThePlan: Solve leaves the plan that people follow alone when
// there is little to gain, and takes up what is worth it.
func TestSmallGainKeepsThePlan(t *testing.T) {
	s := linetest.DayOf(6, 2, 11)
	quick, err := plan.Repair(s, linetest.Morning, nil, plan.Options{})
	if err != nil {
		t.Fatal(err)
	}
	best := solve(t, s, linetest.Morning, plan.Options{Budget: time.Second, Previous: quick})
	if gain := quick.Finish.Sub(best.Finish); gain != 0 && gain <= plan.Stable {
		t.Errorf("a gain of %s changed the plan", gain)
	}
	again := solve(t, s, linetest.Morning, plan.Options{Budget: time.Second, Previous: best, Seed: 99})
	if gain := best.Finish.Sub(again.Finish); gain <= plan.Stable {
		for i := range again.Steps {
			if again.Steps[i].Start != best.Steps[i].Start {
				t.Errorf("%s at %s moved for a gain of %s", best.Steps[i].Name, best.Steps[i].Kind, gain)
			}
		}
	}
}

func TestImpossibleDays(t *testing.T) {
	s := starter(t)
	tripped, _, _ := line.Do(s, line.MarkTripped{Circuit: 0}, linetest.Morning, "")
	small := *s
	site := *s.Site
	site.Stations = append([]line.Station(nil), site.Stations...)
	site.Stations[3].SlotTrays = 1
	small.Site = &site
	for _, tc := range []struct {
		name  string
		state *line.State
		words []string
	}{
		{"breaker open", tripped, []string{"tub", "spinner", "wet wall", "open"}},
		{"no shelf holds it", &small, []string{"sunflower 1 is 4 trays", "no place at dry holds more than 1"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p, err := plan.Solve(context.Background(), tc.state, linetest.Morning, plan.Options{Budget: time.Minute})
			var no *plan.Impossible
			if p != nil || !errors.As(err, &no) {
				t.Fatalf("plan %v, error %v", p, err)
			}
			for _, w := range tc.words {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("%q does not say %q", err, w)
				}
			}
		})
	}
}

// TestDueBeforeItCanBe: a day with due times that cannot be met is planned all the
// same, and the answer names them.
func TestDueBeforeItCanBe(t *testing.T) {
	s := starter(t)
	sheet := *s.Sheet
	sheet.Crops = append([]line.Demand(nil), sheet.Crops...)
	sheet.Crops[0].Due = time.Time{}
	// mustard 1 has two trays: cut 6:40 and everything after it take 40 minutes at
	// least; both batches of radish cannot be first.
	sheet.Crops[4].Due = linetest.Morning.Add(20 * time.Minute)
	s, _, no := line.Do(line.NewState(s.Site, s.Book), line.OpenDay{Sheet: sheet}, linetest.Morning, "")
	if no != nil {
		t.Fatal(no)
	}
	p, err := plan.Solve(context.Background(), s, linetest.Morning, plan.Options{Budget: time.Second})
	var none *plan.Impossible
	if p == nil || !errors.As(err, &none) {
		t.Fatalf("plan %v, error %v", p, err)
	}
	if !strings.Contains(err.Error(), "mustard 1 is due at 07:50") || !strings.Contains(err.Error(), "even alone") {
		t.Errorf("the answer is %q", err)
	}
	for _, bad := range checkPlan(s, p) {
		t.Error(bad)
	}
}
