package bench

import (
	"fmt"
	"slices"
)

// CaseActivity is one activity as scheduled, with what it must keep to.
type CaseActivity struct {
	Name          string
	Start, Finish int
	Duration      int // as demanded of the mode chosen
	Release       int
	Deadline      int // 0: none
	Fixed         bool
	FixedStart    int
}

// CaseUse is an interval [From, To) in which units of a resource are taken. Uses
// of one group (not 0) on one resource count once, with the largest.
type CaseUse struct {
	Name         string
	Resource     int
	From, To     int
	Units, Group int
}

// CaseCapacity is a resource's units, less what is taken away in [From, To).
type CaseCapacity struct {
	Name  string
	Units int
	Less  []CaseLess
}

// CaseLess is a temporary reduction of a capacity.
type CaseLess struct{ From, To, Units int }

// CaseLag demands the instant To to be at least the instant From plus Gap.
type CaseLag struct {
	Name          string
	From, To, Gap int
}

// Case is a schedule and everything it has to satisfy, in plain numbers. Checking one
// shares no code with the solver, so that a mistake in one is not repeated in the other.
type Case struct {
	Activities []CaseActivity
	Lags       []CaseLag
	Uses       []CaseUse
	Capacities []CaseCapacity
}

// Check lists every violation, in plain words; none means feasible.
func Check(c Case) []string {
	var out []string
	for _, a := range c.Activities {
		out = append(out, checkActivity(a)...)
	}
	for _, l := range c.Lags {
		if l.To < l.From+l.Gap {
			out = append(out, fmt.Sprintf("lag %s: %d is before %d%+d", l.Name, l.To, l.From, l.Gap))
		}
	}
	for r := range c.Capacities {
		out = append(out, checkCapacity(c, r)...)
	}
	for _, u := range c.Uses {
		if u.Resource < 0 || u.Resource >= len(c.Capacities) {
			out = append(out, fmt.Sprintf("%s uses resource %d, which does not exist", u.Name, u.Resource))
		}
		if u.To < u.From {
			out = append(out, fmt.Sprintf("%s ends at %d before it begins at %d", u.Name, u.To, u.From))
		}
	}
	return out
}

func checkActivity(a CaseActivity) []string {
	var out []string
	say := func(format string, args ...any) {
		out = append(out, fmt.Sprintf("activity %s: ", a.Name)+fmt.Sprintf(format, args...))
	}
	if a.Finish-a.Start != a.Duration {
		say("runs %d to %d instead of for %d", a.Start, a.Finish, a.Duration)
	}
	if a.Start < 0 || a.Start < a.Release {
		say("starts at %d before its release %d", a.Start, max(0, a.Release))
	}
	if a.Deadline != 0 && a.Finish > a.Deadline {
		say("finishes at %d after its deadline %d", a.Finish, a.Deadline)
	}
	if a.Fixed && a.Start != a.FixedStart {
		say("starts at %d though fixed at %d", a.Start, a.FixedStart)
	}
	return out
}

// checkCapacity adds up the demand on one resource at every instant where it
// can change.
func checkCapacity(c Case, r int) []string {
	var out []string
	var instants []int
	for _, u := range c.Uses {
		if u.Resource == r {
			instants = append(instants, u.From)
		}
	}
	for _, l := range c.Capacities[r].Less {
		instants = append(instants, l.From, l.To)
	}
	slices.Sort(instants)
	for _, t := range slices.Compact(instants) {
		left := c.Capacities[r].Units
		for _, l := range c.Capacities[r].Less {
			if l.From <= t && t < l.To {
				left -= l.Units
			}
		}
		left = max(left, 0)
		if taken := demandAt(c.Uses, r, t); taken > left {
			out = append(out, fmt.Sprintf("resource %s at %d: %d taken of %d", c.Capacities[r].Name, t, taken, left))
		}
	}
	return out
}

// demandAt is the demand on resource r at instant t, groups counted once.
func demandAt(uses []CaseUse, r, t int) int {
	total := 0
	largest := map[int]int{}
	for _, u := range uses {
		switch {
		case u.Resource != r || t < u.From || t >= u.To:
		case u.Group == 0:
			total += u.Units
		default:
			largest[u.Group] = max(largest[u.Group], u.Units)
		}
	}
	for _, units := range largest {
		total += units
	}
	return total
}
