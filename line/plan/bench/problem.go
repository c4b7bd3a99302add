package bench

import (
	"strconv"

	"shedbell/line/plan/sched"
)

// Problem states the instance for the solver, with the makespan as the goal.
func (in *Instance) Problem() *sched.Problem {
	p := &sched.Problem{}
	for _, c := range in.Capacity {
		p.Resources = append(p.Resources, sched.Resource{Capacity: c})
	}
	for i, d := range in.Duration {
		var ds []sched.Demand
		for r, u := range in.Request[i] {
			if u > 0 {
				ds = append(ds, sched.Use(r, u))
			}
		}
		p.Activities = append(p.Activities, sched.Simple(strconv.Itoa(i), d, ds...))
	}
	for _, l := range in.Lags {
		p.Lags = append(p.Lags, sched.StartLag(l.From, l.To, l.Gap))
	}
	return p
}

// CriticalPath is the makespan if every capacity were unlimited, and false if
// the lags alone contradict each other.
func (in *Instance) CriticalPath() (int, bool) {
	start := make([]int, len(in.Duration))
	for range len(start) + 1 {
		changed := false
		for _, l := range in.Lags {
			if s := start[l.From] + l.Gap; s > start[l.To] {
				start[l.To] = s
				changed = true
			}
		}
		if !changed {
			end := 0
			for i, s := range start {
				end = max(end, s+in.Duration[i])
			}
			return end, true
		}
	}
	return 0, false
}
