package sched_test

import (
	"context"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"shedbell/line/plan/bench"
	"shedbell/line/plan/sched"
)

// bruteForce tries every start and mode within the horizon and returns the
// best values, nil if nothing is feasible. Lags and windows prune as soon as
// both ends are placed; capacities are left to the checker.
func bruteForce(p *sched.Problem) []int {
	n := len(p.Activities)
	s := sched.Schedule{Start: make([]int, n), Mode: make([]int, n)}
	var best []int
	var place func(i int)
	at := func(pt sched.Point) int {
		a := pt.Activity
		if pt.Finish {
			return s.Start[a] + p.Activities[a].Modes[s.Mode[a]].Duration
		}
		return s.Start[a]
	}
	lagsHold := func(i int) bool {
		for _, l := range p.Lags {
			if max(l.From.Activity, l.To.Activity) == i && at(l.To) < at(l.From)+l.Gap {
				return false
			}
		}
		return true
	}
	place = func(i int) {
		if i == n {
			v := p.Values(s)
			if (best == nil || slices.Compare(v, best) < 0) && len(bench.CheckSchedule(p, s)) == 0 {
				best = v
			}
			return
		}
		a := &p.Activities[i]
		for m, md := range a.Modes {
			for t := a.Release; t+md.Duration <= p.Horizon; t++ {
				if a.Deadline > 0 && t+md.Duration > a.Deadline || a.Fixed && t != a.Start {
					continue
				}
				s.Start[i], s.Mode[i] = t, m
				if lagsHold(i) {
					place(i + 1)
				}
			}
		}
	}
	place(0)
	return best
}

// tinyProblem draws a problem small enough for bruteForce.
func tinyProblem(t *rapid.T) *sched.Problem {
	num := func(lo, hi int, what string) int { return rapid.IntRange(lo, hi).Draw(t, what) }
	p := &sched.Problem{Horizon: num(6, 9, "horizon")}
	for range num(1, 2, "resources") {
		r := sched.Resource{Capacity: num(1, 4, "capacity")}
		if num(0, 3, "blocked") == 0 {
			from := num(0, 5, "from")
			r.Blocks = append(r.Blocks, sched.Block{From: from, To: from + num(1, 3, "length"), Units: num(1, 2, "units")})
		}
		p.Resources = append(p.Resources, r)
	}
	demands := func() []sched.Demand {
		var ds []sched.Demand
		for r := range p.Resources {
			if u := num(0, 3, "units"); u > 0 {
				d := sched.Use(r, u)
				if num(0, 5, "grouped") == 0 {
					d.Group = num(1, 2, "group")
				}
				ds = append(ds, d)
			}
		}
		return ds
	}
	n := num(2, 5, "activities")
	for range n {
		a := sched.Simple("", num(0, 3, "duration"), demands()...)
		switch num(0, 7, "kind") {
		case 0:
			a.Modes = append(a.Modes, sched.Mode{Duration: num(0, 4, "duration"), Demands: demands()})
		case 1:
			a.Release = num(0, 3, "release")
		case 2:
			a.Deadline = num(3, 8, "deadline")
		case 3:
			a.Fixed, a.Start = true, num(0, 3, "start")
		}
		p.Activities = append(p.Activities, a)
	}
	point := func(i int) sched.Point { return sched.Point{Activity: i, Finish: num(0, 1, "finish") == 1} }
	for range num(0, 4, "lags") {
		i, j := num(0, n-1, "i"), num(0, n-1, "j")
		if i != j {
			p.Lags = append(p.Lags, sched.Between(point(i), point(j), num(-5, 4, "gap")))
		}
	}
	if num(0, 2, "hold") == 0 {
		h := sched.Hold{From: point(num(0, n-1, "i")), To: point(num(0, n-1, "j")), Demands: demands()}
		if i := num(0, n-1, "when"); len(p.Activities[i].Modes) > 1 {
			h.When = &sched.Choice{Activity: i, Mode: num(0, 1, "mode")}
		}
		p.Holds = append(p.Holds, h)
	}
	if num(0, 1, "goals") == 1 {
		for range num(1, 2, "levels") {
			var g sched.Goal
			for range num(1, 3, "terms") {
				k := sched.TermKind(num(0, 4, "term"))
				term := sched.Term{Kind: k, Activity: num(0, n-1, "i"), Weight: num(0, 3, "weight"), Due: num(0, 5, "due")}
				if k == sched.Wait {
					term.Other = num(0, n-1, "j")
				} else if k == sched.ModeCost {
					term.Other = num(0, len(p.Activities[term.Activity].Modes)-1, "mode")
				}
				g = append(g, term)
			}
			p.Goals = append(p.Goals, g)
		}
	}
	return p
}

func TestMatchesBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := tinyProblem(t)
		want := bruteForce(p)
		opt := sched.Options{
			Seed: 1, Workers: 1,
			OnSolution: func(s sched.Solution) {
				if bad := bench.CheckSchedule(p, s.Schedule); len(bad) > 0 {
					t.Fatalf("reported %+v: %v", s, bad)
				}
			},
		}
		res, err := sched.Solve(context.Background(), p, opt)
		if err != nil {
			t.Fatal(err)
		}
		if want == nil {
			if res.Status != sched.Infeasible {
				t.Fatalf("%v %+v, but nothing is feasible", res.Status, res.Best)
			}
			return
		}
		if res.Status != sched.Optimal || !slices.Equal(res.Best.Values, want) || !slices.Equal(res.Bounds, want) {
			t.Fatalf("%v %+v bounds %v, want %v", res.Status, res.Best, res.Bounds, want)
		}
	})
}
