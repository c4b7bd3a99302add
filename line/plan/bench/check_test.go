package bench_test

import (
	"slices"
	"strings"
	"testing"

	"shedbell/line/plan/bench"
	"shedbell/line/plan/sched"
)

// right is a case that keeps to everything: a runs 0-3 and b 3-7 on one unit of two,
// one unit is away from 8 on, and two shelves share a fan bank's unit.
func right() bench.Case {
	return bench.Case{
		Activities: []bench.CaseActivity{
			{Name: "a", Start: 0, Finish: 3, Duration: 3, Fixed: true},
			{Name: "b", Start: 3, Finish: 7, Duration: 4, Release: 2, Deadline: 7},
		},
		Lags: []bench.CaseLag{{Name: "b after a", From: 3, To: 3}, {Name: "b soon", From: 3, To: 3, Gap: -1}},
		Uses: []bench.CaseUse{
			{Name: "a", Resource: 0, From: 0, To: 3, Units: 2}, {Name: "b", Resource: 0, From: 3, To: 7, Units: 2},
			{Name: "shelf a", Resource: 1, From: 0, To: 5, Units: 3, Group: 1}, {Name: "shelf b", Resource: 1, From: 4, To: 9, Units: 3, Group: 1},
		},
		Capacities: []bench.CaseCapacity{{Name: "hands", Units: 2, Less: []bench.CaseLess{{From: 8, To: 9, Units: 1}}}, {Name: "amps", Units: 3}},
	}
}

// TestRejectsEveryMutation spoils a good case in one way at a time; each has to be
// found and named.
func TestRejectsEveryMutation(t *testing.T) {
	if bad := bench.Check(right()); len(bad) > 0 {
		t.Fatal(bad)
	}
	for _, tc := range []struct {
		name  string
		spoil func(*bench.Case)
		says  string
	}{
		{"too short", func(c *bench.Case) { c.Activities[1].Finish-- }, "instead of for 4"},
		{"before its release", func(c *bench.Case) { c.Activities[1].Start, c.Activities[1].Finish = 1, 5 }, "before its release 2"},
		{"before the beginning", func(c *bench.Case) {
			c.Activities[0].Fixed, c.Activities[0].Start, c.Activities[0].Finish = false, -1, 2
		}, "before its release 0"},
		{"past its deadline", func(c *bench.Case) { c.Activities[1].Deadline = 6 }, "after its deadline 6"},
		{"moved though fixed", func(c *bench.Case) { c.Activities[0].FixedStart = 1 }, "fixed at 1"},
		{"minimal lag", func(c *bench.Case) { c.Lags[0].Gap = 1 }, "lag b after a"},
		{"maximal lag", func(c *bench.Case) { c.Lags[1].To = 1 }, "lag b soon"},
		{"one unit too many", func(c *bench.Case) { c.Uses[1].Units = 3 }, "3 taken of 2"},
		{"overlap", func(c *bench.Case) { c.Uses[1].From = 2 }, "hands at 2: 4 taken of 2"},
		{"unit that is away", func(c *bench.Case) { c.Uses[1].To = 9 }, "hands at 8: 2 taken of 1"},
		{"two groups", func(c *bench.Case) { c.Uses[3].Group = 2 }, "amps at 4: 6 taken of 3"},
		{"no group", func(c *bench.Case) { c.Uses[3].Group = 0 }, "amps at 4: 6 taken of 3"},
		{"largest of a group", func(c *bench.Case) { c.Uses[3].Units = 4 }, "amps at 4: 4 taken of 3"},
		{"no such resource", func(c *bench.Case) { c.Uses[0].Resource = 2 }, "does not exist"},
		{"ends before it begins", func(c *bench.Case) { c.Uses[0].To = -1 }, "before it begins"},
	} {
		c := right()
		tc.spoil(&c)
		bad := bench.Check(c)
		if !slices.ContainsFunc(bad, func(s string) bool { return strings.Contains(s, tc.says) }) {
			t.Errorf("%s: %q does not say %q", tc.name, bad, tc.says)
		}
	}
}

// problem: a wash of 3 or, gently, 5; then a spin of 2 within 1; the basket is held
// from one to the other; gently it takes a second person.
func problem() (*sched.Problem, sched.Schedule) {
	p := &sched.Problem{Horizon: 9, Resources: []sched.Resource{{Name: "hands", Capacity: 2, Blocks: []sched.Block{{From: 6, To: 8, Units: 1}}}, {Name: "basket", Capacity: 1}},
		Activities: []sched.Activity{
			{Name: "wash", Modes: []sched.Mode{{Duration: 3, Demands: []sched.Demand{sched.Use(0, 1)}}, {Duration: 5, Demands: []sched.Demand{sched.Use(0, 2)}}}},
			sched.Simple("spin", 2, sched.Use(0, 1)), sched.Simple("other", 2, sched.Use(1, 1)),
		},
		Lags: []sched.Lag{sched.After(0, 1, 0), sched.Between(sched.StartOf(1), sched.FinishOf(0), -1)},
		Holds: []sched.Hold{{Name: "basket", From: sched.StartOf(0), To: sched.FinishOf(1), Demands: []sched.Demand{sched.Use(1, 1)}},
			{Name: "helper", From: sched.StartOf(0), To: sched.FinishOf(1), Demands: []sched.Demand{sched.Use(0, 1)}, When: &sched.Choice{Activity: 0, Mode: 1}}},
	}
	return p, sched.Schedule{Start: []int{0, 3, 5}, Mode: []int{0, 0, 0}}
}

func TestRejectsSpoiledSchedules(t *testing.T) {
	p, s := problem()
	if bad := bench.CheckSchedule(p, s); len(bad) > 0 {
		t.Fatal(bad)
	}
	for _, tc := range []struct {
		name  string
		spoil func(*sched.Problem, *sched.Schedule)
		says  string
	}{
		{"too early", func(_ *sched.Problem, s *sched.Schedule) { s.Start[1] = 2 }, "lag 0"},
		{"too late", func(_ *sched.Problem, s *sched.Schedule) { s.Start[1] = 5 }, "lag 1"},
		{"basket still held", func(_ *sched.Problem, s *sched.Schedule) { s.Start[2] = 4 }, "basket at 4"},
		{"past the horizon", func(_ *sched.Problem, s *sched.Schedule) { s.Start[2] = 8 }, "horizon of 2"},
		{"other mode, other lags", func(_ *sched.Problem, s *sched.Schedule) { s.Mode[0] = 1 }, "lag 0"},
		{"hold of the other mode", func(_ *sched.Problem, s *sched.Schedule) { s.Mode[0], s.Start[1], s.Start[2] = 1, 5, 7 }, "hands at 0: 3 taken of 2"},
		{"no such mode", func(_ *sched.Problem, s *sched.Schedule) { s.Mode[0] = 2 }, "no mode 2"},
		{"not all there", func(_ *sched.Problem, s *sched.Schedule) { s.Start = s.Start[:2] }, "2 starts"},
		{"hold turned round", func(p *sched.Problem, _ *sched.Schedule) {
			p.Holds[0].To = sched.StartOf(0)
			p.Holds[0].From = sched.StartOf(1)
		}, "hold basket"},
	} {
		p, s := problem()
		tc.spoil(p, &s)
		bad := bench.CheckSchedule(p, s)
		if !slices.ContainsFunc(bad, func(s string) bool { return strings.Contains(s, tc.says) }) {
			t.Errorf("%s: %q does not say %q", tc.name, bad, tc.says)
		}
	}
}
