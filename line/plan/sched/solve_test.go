package sched_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"shedbell/line/plan/bench"
	"shedbell/line/plan/sched"
)

// Hand-made cases, small enough to check with pencil and paper.
func TestHandMade(t *testing.T) {
	one := []sched.Resource{{Name: "tub", Capacity: 1}}
	use := sched.Use(0, 1)
	cases := []struct {
		name string
		p    sched.Problem
		want []int // values of the goals; nil for infeasible
	}{
		{"nothing to do", sched.Problem{}, []int{0}},
		{"one after the other", sched.Problem{Resources: one,
			Activities: []sched.Activity{sched.Simple("a", 3, use), sched.Simple("b", 4, use)}}, []int{7}},
		{"demand above capacity", sched.Problem{Resources: one,
			Activities: []sched.Activity{sched.Simple("a", 3, sched.Use(0, 2))}}, nil},
		{"lags in a circle", sched.Problem{
			Activities: []sched.Activity{sched.Simple("a", 3), sched.Simple("b", 4)},
			Lags:       []sched.Lag{sched.After(0, 1, 0), sched.StartLag(1, 0, -2)}}, nil},
		{"maximal lag that just holds", sched.Problem{
			Activities: []sched.Activity{sched.Simple("a", 3), sched.Simple("b", 4)},
			Lags:       []sched.Lag{sched.After(0, 1, 0), sched.StartLag(1, 0, -3)}}, []int{7}},
		// b must follow a within 1, c needs the tub for 5 in between or before:
		// c first (0-5), a 5-8, b 8-12.
		{"greens must not wait", sched.Problem{Resources: one,
			Activities: []sched.Activity{sched.Simple("a", 3, use), sched.Simple("b", 4, use), sched.Simple("c", 5, use)},
			Lags:       []sched.Lag{sched.After(0, 1, 0), within(0, 1, 1)}}, []int{12}},
		{"deadline too early", sched.Problem{Resources: one,
			Activities: []sched.Activity{{Modes: []sched.Mode{{Duration: 5}}, Release: 3, Deadline: 7}}}, nil},
		// The pause [2,6) leaves no room for 3 before it.
		{"block pushes past a pause", sched.Problem{
			Resources:  []sched.Resource{{Capacity: 1, Blocks: []sched.Block{{From: 2, To: 6, Units: 1}}}},
			Activities: []sched.Activity{sched.Simple("a", 3, use)}}, []int{9}},
		{"running activity stays", sched.Problem{Resources: one,
			Activities: []sched.Activity{
				{Modes: []sched.Mode{{Duration: 4, Demands: []sched.Demand{use}}}, Fixed: true},
				sched.Simple("b", 1, use)}}, []int{5}},
		// Fast costs two of two amps, slow one of two: both slow side by side
		// take 5, both fast in sequence 6.
		{"modes", sched.Problem{Resources: []sched.Resource{{Capacity: 2}},
			Activities: []sched.Activity{
				{Modes: []sched.Mode{{Duration: 3, Demands: []sched.Demand{sched.Use(0, 2)}}, {Duration: 5, Demands: []sched.Demand{use}}}},
				{Modes: []sched.Mode{{Duration: 3, Demands: []sched.Demand{sched.Use(0, 2)}}, {Duration: 5, Demands: []sched.Demand{use}}}}}}, []int{5}},
		// The basket is held from a's start to b's finish, so the pairs cannot
		// overlap although no activity needs it itself.
		{"hold", sched.Problem{Resources: one,
			Activities: []sched.Activity{sched.Simple("a", 2), sched.Simple("b", 2), sched.Simple("c", 2), sched.Simple("d", 2)},
			Lags:       []sched.Lag{sched.After(0, 1, 1), sched.After(2, 3, 1)},
			Holds: []sched.Hold{
				{From: sched.StartOf(0), To: sched.FinishOf(1), Demands: []sched.Demand{use}},
				{From: sched.StartOf(2), To: sched.FinishOf(3), Demands: []sched.Demand{use}}}}, []int{10}},
		// Two shelves on one fan bank of 3 amps fit a 4 amp circuit together.
		{"group counts once", sched.Problem{Resources: []sched.Resource{{Capacity: 4}},
			Activities: []sched.Activity{
				sched.Simple("a", 3, sched.Demand{Resource: 0, Units: 3, Group: 1}),
				sched.Simple("b", 3, sched.Demand{Resource: 0, Units: 3, Group: 1}),
				sched.Simple("c", 3, sched.Use(0, 2))}}, []int{6}},
		// Least tardiness wants b first; the makespan is the same.
		{"due time decides the order", sched.Problem{Resources: one,
			Activities: []sched.Activity{sched.Simple("a", 3, use), sched.Simple("b", 4, use)},
			Goals: []sched.Goal{
				{{Kind: sched.Makespan, Weight: 1}},
				{{Kind: sched.Tardiness, Activity: 1, Due: 4, Weight: 2}},
				{{Kind: sched.Finish, Activity: 0, Weight: 1}}}}, []int{7, 0, 7}},
	}
	for _, c := range cases {
		for _, workers := range []int{1, 2} {
			res, err := sched.Solve(context.Background(), &c.p, sched.Options{Workers: workers})
			if err != nil {
				t.Fatalf("%s: %v", c.name, err)
			}
			if c.want == nil {
				if res.Status != sched.Infeasible {
					t.Errorf("%s: %v %v, want infeasible", c.name, res.Status, res.Best)
				}
				continue
			}
			if res.Status != sched.Optimal || !equal(res.Best.Values, c.want) || !equal(res.Bounds, c.want) {
				t.Errorf("%s: %v %+v bounds %v, want %v", c.name, res.Status, res.Best, res.Bounds, c.want)
				continue
			}
			if bad := bench.CheckSchedule(&c.p, res.Best.Schedule); len(bad) > 0 {
				t.Errorf("%s: %v", c.name, bad)
			}
		}
	}
}

func equal(a, b []int) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// hardProblem is a large random problem that no run will prove in a moment.
func hardProblem(n int) *sched.Problem {
	rng := rand.New(rand.NewPCG(5, 5))
	p := &sched.Problem{Resources: []sched.Resource{{Capacity: 12}, {Capacity: 12}, {Capacity: 12}}}
	for i := range n {
		var ds []sched.Demand
		for r := range 3 {
			ds = append(ds, sched.Use(r, 1+rng.IntN(8)))
		}
		p.Activities = append(p.Activities, sched.Simple("", 1+rng.IntN(10), ds...))
		if i > 5 {
			p.Lags = append(p.Lags, sched.After(rng.IntN(i), i, 0))
		}
	}
	return p
}

func TestCancelledAtOnce(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	res, err := sched.Solve(ctx, hardProblem(100), sched.Options{Workers: 2})
	if err != nil || res.Status == sched.Optimal || res.Status == sched.Infeasible {
		t.Fatalf("%v, %v", res.Status, err)
	}
}

// TestCancelledByCallback stops from within the first improvement and expects
// the schedule to be there, with a bound below it.
func TestCancelledByCallback(t *testing.T) {
	for _, workers := range []int{1, 2} {
		ctx, cancel := context.WithCancel(context.Background())
		p := hardProblem(100)
		calls := 0
		res, err := sched.Solve(ctx, p, sched.Options{Workers: workers, OnSolution: func(sched.Solution) {
			if calls++; calls == 2 {
				cancel()
			}
		}})
		cancel()
		if err != nil || res.Best == nil || calls < 2 {
			t.Fatalf("%d workers: %v, %v after %d schedules", workers, res.Status, err, calls)
		}
		if res.Bounds[0] <= 0 || res.Bounds[0] > res.Best.Values[0] {
			t.Fatalf("%d workers: bound %d for value %d", workers, res.Bounds[0], res.Best.Values[0])
		}
		if bad := bench.CheckSchedule(p, res.Best.Schedule); len(bad) > 0 {
			t.Fatal(bad)
		}
	}
}

func TestConflictLimitIsDeterministic(t *testing.T) {
	p := hardProblem(60)
	opt := sched.Options{Workers: 1, Seed: 9, MaxConflicts: 3000}
	a, _ := sched.Solve(context.Background(), p, opt)
	b, _ := sched.Solve(context.Background(), p, opt)
	if a.Stats != b.Stats || !equal(a.Best.Start, b.Best.Start) {
		t.Fatalf("two runs differ: %+v, %+v", a.Stats, b.Stats)
	}
}

func TestBadProblems(t *testing.T) {
	bad := []sched.Problem{
		{Activities: []sched.Activity{{Name: "no mode"}}},
		{Activities: []sched.Activity{sched.Simple("a", -1)}},
		{Activities: []sched.Activity{sched.Simple("a", 1, sched.Use(0, 1))}},
		{Resources: []sched.Resource{{Capacity: -1}}},
		{Lags: []sched.Lag{sched.After(0, 1, 0)}},
		{Goals: []sched.Goal{{{Kind: sched.Tardiness, Activity: 3}}}},
	}
	for i := range bad {
		if _, err := sched.Solve(context.Background(), &bad[i], sched.Options{}); err == nil {
			t.Errorf("problem %d was accepted", i)
		}
	}
}

// within: next starts at most gap after first finishes.
func within(first, next, gap int) sched.Lag {
	return sched.Between(sched.StartOf(next), sched.FinishOf(first), -gap)
}
