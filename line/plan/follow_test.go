package plan_test

import (
	"context"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/plan"
	"shedbell/line/rehearse"
)

// solveAndFollow plans a random day and rehearses it with the plan and without.
func solveAndFollow(t testing.TB, s *line.State, seed uint64, budget time.Duration) (*plan.Plan, plan.Followed) {
	t.Helper()
	p, err := plan.Solve(context.Background(), s, linetest.Morning, plan.Options{Budget: budget, Seed: seed})
	if p == nil {
		t.Fatal(err)
	}
	f, err := p.Follow(context.Background(), s, linetest.Morning)
	if err != nil {
		t.Fatal(err)
	}
	return p, f
}

// TestFollowingIsNeverWorse rehearses random days with the plan and first come,
// first served.
func TestFollowingIsNeverWorse(t *testing.T) {
	for seed := range uint64(20) {
		s := linetest.RandomDay(seed)
		_, f := solveAndFollow(t, s, seed, 100*time.Millisecond)
		with, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{Advice: f.Advice})
		if err != nil {
			t.Fatal(err)
		}
		without, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if !with.Finish.Equal(f.With) || !without.Finish.Equal(f.Before) {
			t.Errorf("day %d: said to end at %s and %s, ends at %s and %s", seed, f.With, f.Before, with.Finish, without.Finish)
		}
		a, b := lateIn(with), lateIn(without)
		if a > b || a == b && with.Finish.After(without.Finish) {
			t.Errorf("day %d: the plan misses %d due times and ends at %s; without it %d and %s", seed, a, with.Finish, b, without.Finish)
		}
	}
}

func lateIn(res *rehearse.Result) int {
	n := 0
	for _, st := range res.Steps {
		if b := res.Final.Batch(st.Batch); b != nil && res.Final.Site.Stations[st.Station].Kind == line.Chill && !b.Due.IsZero() && st.Start.After(b.Due) {
			n++
		}
	}
	return n
}

func TestSure(t *testing.T) {
	s := linetest.DayOf(4, 2, 1)
	ctx := context.Background()
	res, err := rehearse.Run(ctx, s, linetest.Morning, rehearse.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p50, p90, err := plan.FinishOdds(ctx, s, linetest.Morning, line.Advice{}, 11, rehearse.Delays{}, 1)
	if err != nil || !p50.Equal(res.Finish) || !p90.Equal(res.Finish) {
		t.Errorf("without delays: %s, %s, %v instead of %s", p50, p90, err, res.Finish)
	}
	p50, p90, err = plan.FinishOdds(ctx, s, linetest.Morning, line.Advice{}, 40, rehearse.Typical, 1)
	if err != nil || !p90.After(p50) || !p50.After(res.Finish) {
		t.Errorf("with delays: %s, %s, %v", p50, p90, err)
	}
	q50, q90, _ := plan.FinishOdds(ctx, s, linetest.Morning, line.Advice{}, 40, rehearse.Typical, 1)
	if q50 != p50 || q90 != p90 {
		t.Error("the same seed gives other days")
	}
}

// What is due is told apart by its slack; where doing it first keeps it, that is said
// with what the day pays, and not where nothing helps.
func TestDues(t *testing.T) {
	s := linetest.Open() // pea, radish, sunflower, broccoli: broccoli is cut last
	calm := rehearse.Delays{}
	cold, _, err := plan.ColdBy(context.Background(), s, linetest.Morning, line.Advice{}, 1, calm, 1)
	if err != nil {
		t.Fatal(err)
	}
	last := s.Batches[len(s.Batches)-1]
	for _, c := range []struct {
		due         time.Time
		late, saved bool
	}{
		{cold[last.ID].Add(time.Minute), false, false},
		{cold[last.ID].Add(-10 * time.Minute), true, true},
		{linetest.Morning.Add(20 * time.Minute), true, false}, // broccoli alone takes longer on the rack
	} {
		advice := line.Advice{Order: func(batch int, _ line.Kind) int { return batch }}
		state, _, no := line.Do(s, line.TakeOrder{Customer: "the inn", Crop: last.Crop, NetG: 100, At: c.due}, linetest.Morning, "")
		if no != nil {
			t.Fatal(no)
		}
		dues, err := plan.Dues(context.Background(), state, linetest.Morning, advice, 1, calm, 1)
		if err != nil || len(dues) != 1 {
			t.Fatalf("%+v, %v", dues, err)
		}
		if r := dues[0]; r.Slack() < 0 != c.late || !r.First.IsZero() != c.saved || c.saved && r.First.After(c.due) {
			t.Errorf("due %s: %+v", c.due.Format(time.TimeOnly), r)
		}
	}
}
