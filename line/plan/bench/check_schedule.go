package bench

import (
	"fmt"

	"shedbell/line/plan/sched"
)

// caseOf states a solver's problem and schedule as a case. It reads the
// problem's data only.
func caseOf(p *sched.Problem, s sched.Schedule) (Case, error) {
	n := len(p.Activities)
	if len(s.Start) != n || len(s.Mode) != n {
		return Case{}, fmt.Errorf("%d starts and %d modes for %d activities", len(s.Start), len(s.Mode), n)
	}
	var c Case
	uses := func(name string, from, to int, ds []sched.Demand) {
		for _, d := range ds {
			c.Uses = append(c.Uses, CaseUse{name, d.Resource, from, to, d.Units, d.Group})
		}
	}
	finish := make([]int, n)
	for i, a := range p.Activities {
		if s.Mode[i] < 0 || s.Mode[i] >= len(a.Modes) {
			return Case{}, fmt.Errorf("activity %d (%s): no mode %d", i, a.Name, s.Mode[i])
		}
		m := a.Modes[s.Mode[i]]
		finish[i] = s.Start[i] + m.Duration
		c.Activities = append(c.Activities, CaseActivity{
			Name: fmt.Sprintf("%d (%s)", i, a.Name), Start: s.Start[i], Finish: finish[i], Duration: m.Duration,
			Release: a.Release, Deadline: a.Deadline, Fixed: a.Fixed, FixedStart: a.Start,
		})
		uses(a.Name, s.Start[i], finish[i], m.Demands)
	}
	at := func(pt sched.Point) int {
		if pt.Finish {
			return finish[pt.Activity]
		}
		return s.Start[pt.Activity]
	}
	for k, l := range p.Lags {
		if l.When != nil && s.Mode[l.When.Activity] != l.When.Mode {
			continue
		}
		name := fmt.Sprintf("%d from %d to %d", k, l.From.Activity, l.To.Activity)
		c.Lags = append(c.Lags, CaseLag{name, at(l.From), at(l.To), l.Gap})
	}
	for _, h := range p.Holds {
		if h.When == nil || s.Mode[h.When.Activity] == h.When.Mode {
			uses(h.Name, at(h.From), at(h.To), h.Demands)
		}
		c.Lags = append(c.Lags, CaseLag{"of hold " + h.Name, at(h.From), at(h.To), 0})
	}
	for _, r := range p.Resources {
		cp := CaseCapacity{Name: r.Name, Units: r.Capacity}
		for _, b := range r.Blocks {
			cp.Less = append(cp.Less, CaseLess{b.From, b.To, b.Units})
		}
		c.Capacities = append(c.Capacities, cp)
	}
	if p.Horizon > 0 {
		for i, f := range finish {
			if f > p.Horizon {
				c.Lags = append(c.Lags, CaseLag{fmt.Sprintf("horizon of %d", i), f, p.Horizon, 0})
			}
		}
	}
	return c, nil
}

// CheckSchedule lists the violations of a schedule for a solver's problem.
func CheckSchedule(p *sched.Problem, s sched.Schedule) []string {
	c, err := caseOf(p, s)
	if err != nil {
		return []string{err.Error()}
	}
	return Check(c)
}
