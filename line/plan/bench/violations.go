package bench

import (
	"fmt"
	"strconv"
)

// Violations has the independent checker judge start times against the
// instance as read from its file, and compares the claimed makespan.
func (in *Instance) Violations(start []int, makespan int) []string {
	if len(start) != len(in.Duration) {
		return []string{fmt.Sprintf("%d start times for %d activities", len(start), len(in.Duration))}
	}
	c := Case{}
	end := 0
	for i, s := range start {
		name := strconv.Itoa(i)
		c.Activities = append(c.Activities, CaseActivity{
			Name: name, Start: s, Finish: s + in.Duration[i], Duration: in.Duration[i]})
		end = max(end, s+in.Duration[i])
		for r, u := range in.Request[i] {
			c.Uses = append(c.Uses, CaseUse{Name: name, Resource: r, From: s, To: s + in.Duration[i], Units: u})
		}
	}
	for _, l := range in.Lags {
		c.Lags = append(c.Lags, CaseLag{
			Name: fmt.Sprintf("%d to %d", l.From, l.To), From: start[l.From], To: start[l.To], Gap: l.Gap})
	}
	for r, units := range in.Capacity {
		c.Capacities = append(c.Capacities, CaseCapacity{Name: strconv.Itoa(r), Units: units})
	}
	out := Check(c)
	if end != makespan {
		out = append(out, fmt.Sprintf("makespan claimed %d, is %d", makespan, end))
	}
	return out
}
