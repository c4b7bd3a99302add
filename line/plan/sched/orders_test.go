package sched_test

import (
	"context"
	"testing"

	"pgregory.net/rapid"

	"shedbell/line/plan/sched"
)

// bestOfAllOrders runs the serial generation scheme on every order of the
// activities. Some order gives a least makespan (Kolisch 1996: the scheme
// yields active schedules, and one of these is best).
func bestOfAllOrders(p *sched.Problem) int {
	n := len(p.Activities)
	start := make([]int, n)
	used := make([]bool, n)
	best := 1 << 30
	fits := func(i, t int) bool {
		md := p.Activities[i].Modes[0]
		for u := t; u < t+md.Duration; u++ {
			for _, d := range md.Demands {
				sum := d.Units
				for j := range n {
					mj := p.Activities[j].Modes[0]
					if used[j] && j != i && start[j] <= u && u < start[j]+mj.Duration {
						for _, e := range mj.Demands {
							if e.Resource == d.Resource {
								sum += e.Units
							}
						}
					}
				}
				if sum > p.Resources[d.Resource].Capacity {
					return false
				}
			}
		}
		return true
	}
	var place func(done, end int)
	place = func(done, end int) {
		if end >= best {
			return
		}
		if done == n {
			best = end
			return
		}
		for i := range n {
			t, ready := 0, !used[i]
			for _, l := range p.Lags {
				if l.To.Activity == i {
					ready = ready && used[l.From.Activity]
					t = max(t, start[l.From.Activity]+p.Activities[l.From.Activity].Modes[0].Duration+l.Gap)
				}
			}
			if !ready {
				continue
			}
			for !fits(i, t) {
				t++
			}
			used[i], start[i] = true, t
			place(done+1, max(end, t+p.Activities[i].Modes[0].Duration))
			used[i] = false
		}
	}
	place(0, 0)
	return best
}

func TestMatchesAllOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num := func(lo, hi int, what string) int { return rapid.IntRange(lo, hi).Draw(t, what) }
		p := &sched.Problem{}
		for range num(1, 3, "resources") {
			p.Resources = append(p.Resources, sched.Resource{Capacity: num(4, 8, "capacity")})
		}
		for i := range num(4, 7, "activities") {
			var ds []sched.Demand
			for r := range p.Resources {
				ds = append(ds, sched.Use(r, num(0, 4, "units")))
			}
			p.Activities = append(p.Activities, sched.Simple("", num(1, 9, "duration"), ds...))
			if i > 0 && num(0, 1, "lag") == 1 {
				p.Lags = append(p.Lags, sched.After(num(0, i-1, "before"), i, num(0, 2, "gap")))
			}
		}
		want := bestOfAllOrders(p)
		for _, workers := range []int{1, 2} {
			res, err := sched.Solve(context.Background(), p, sched.Options{Seed: 2, Workers: workers})
			if err != nil || res.Status != sched.Optimal || res.Best.Values[0] != want {
				t.Fatalf("%d workers: %v %+v %v, want %d", workers, res.Status, res.Best, err, want)
			}
		}
	})
}
