package sched_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"shedbell/line/plan/bench"
	"shedbell/line/plan/sched"
)

// small is a project in its plainest form: durations, requests of one unit list per
// activity, capacities, and start to start lags.
type small struct {
	dur  []int
	req  [][]int
	cap  []int
	lags [][3]int // from, to, gap
	most int      // latest end
}

// enumerate tries every start of every activity and gives the least makespan, or -1.
// It adds up the requests at every instant and shares nothing with the solver or the
// checker.
func (p *small) enumerate() int {
	best := -1
	start := make([]int, len(p.dur))
	fits := func() bool {
		for _, l := range p.lags {
			if start[l[1]] < start[l[0]]+l[2] {
				return false
			}
		}
		for t := range p.most {
			for r, c := range p.cap {
				for i, s := range start {
					if s <= t && t < s+p.dur[i] {
						c -= p.req[i][r]
					}
				}
				if c < 0 {
					return false
				}
			}
		}
		return true
	}
	var place func(i, end int)
	place = func(i, end int) {
		if best >= 0 && end >= best {
			return
		}
		if i == len(start) {
			if fits() {
				best = end
			}
			return
		}
		for s := 0; s+p.dur[i] <= p.most; s++ {
			start[i] = s
			place(i+1, max(end, s+p.dur[i]))
		}
	}
	place(0, 0)
	return best
}

// draw makes a random project; with both, lags may be maximal ones too.
func draw(rnd *rand.Rand, both bool) *small {
	n := 3 + rnd.IntN(2)
	p := &small{cap: []int{1 + rnd.IntN(3), 2 + rnd.IntN(2)}, most: 9}
	for range n {
		p.dur = append(p.dur, 1+rnd.IntN(3))
		p.req = append(p.req, []int{rnd.IntN(p.cap[0] + 1), rnd.IntN(p.cap[1] + 1)})
	}
	for i := range n {
		for j := range i {
			switch {
			case rnd.IntN(3) == 0:
				p.lags = append(p.lags, [3]int{j, i, p.dur[j]})
			case both && rnd.IntN(3) == 0:
				p.lags = append(p.lags, [3]int{j, i, rnd.IntN(4)})
			}
			if both && rnd.IntN(3) == 0 {
				p.lags = append(p.lags, [3]int{i, j, -rnd.IntN(4)})
			}
		}
	}
	return p
}

func (p *small) problem() *sched.Problem {
	out := &sched.Problem{Horizon: p.most, Resources: []sched.Resource{{Capacity: p.cap[0]}, {Capacity: p.cap[1]}}}
	for i, d := range p.dur {
		out.Activities = append(out.Activities, sched.Simple("", d, sched.Use(0, p.req[i][0]), sched.Use(1, p.req[i][1])))
	}
	for _, l := range p.lags {
		out.Lags = append(out.Lags, sched.StartLag(l[0], l[1], l[2]))
	}
	return out
}

// TestAgainstEnumeration solves hundreds of small projects, with minimal lags and
// with both kinds (RCPSP and RCPSP/max), and compares with plain enumeration.
func TestAgainstEnumeration(t *testing.T) {
	for name, both := range map[string]bool{"RCPSP": false, "RCPSP/max": true} {
		rnd := rand.New(rand.NewPCG(17, 4))
		infeasible := 0
		const n = 300
		for k := range n {
			small := draw(rnd, both)
			want := small.enumerate()
			p := small.problem()
			res, err := sched.Solve(context.Background(), p, sched.Options{Workers: 1 + k%2, Seed: uint64(k)})
			if err != nil {
				t.Fatal(err)
			}
			if want < 0 {
				infeasible++
				if res.Status != sched.Infeasible {
					t.Errorf("%s %d: %v, but nothing is feasible", name, k, res.Status)
				}
				continue
			}
			if res.Status != sched.Optimal || res.Best.Values[0] != want || res.Bounds[0] != want {
				t.Errorf("%s %d: %v %+v, bound %v; the least is %d", name, k, res.Status, res.Best, res.Bounds, want)
				continue
			}
			for _, bad := range bench.CheckSchedule(p, res.Best.Schedule) {
				t.Errorf("%s %d: %s", name, k, bad)
			}
		}
		if both && (infeasible < n/10 || infeasible > n*9/10) {
			t.Errorf("%s: %d of %d infeasible, so one kind is hardly tested", name, infeasible, n)
		}
	}
}
