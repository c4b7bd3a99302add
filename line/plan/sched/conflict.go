package sched

import (
	"context"
	"fmt"
)

// CauseKind tells what sort of demand takes part in a contradiction.
type CauseKind int

const (
	// ByDeadline: the deadline of activity Index.
	ByDeadline CauseKind = iota
	// ByLag: lag Index, a maximal one (of negative gap).
	ByLag
	// ByFixedStart: the fixed start of activity Index.
	ByFixedStart
	// ByBlock: block Sub of resource Index.
	ByBlock
	// ByHold: hold Index.
	ByHold
	// ByCapacity: the capacity of resource Index.
	ByCapacity
)

// Cause is one demand in a contradiction.
type Cause struct {
	Kind       CauseKind
	Index, Sub int
}

// Describe puts a cause into words, with the names that p gives.
func (c Cause) Describe(p *Problem) string {
	activity := func(i int) string { return fmt.Sprintf("activity %d (%s)", i, p.Activities[i].Name) }
	switch c.Kind {
	case ByDeadline:
		return fmt.Sprintf("%s must finish by %d", activity(c.Index), p.Activities[c.Index].Deadline)
	case ByLag:
		l := p.Lags[c.Index]
		return fmt.Sprintf("%s may come at most %d after %s", l.From, -l.Gap, l.To)
	case ByFixedStart:
		return fmt.Sprintf("%s starts at %d", activity(c.Index), p.Activities[c.Index].Start)
	case ByBlock:
		r := p.Resources[c.Index]
		b := r.Blocks[c.Sub]
		return fmt.Sprintf("%d of %s are away from %d to %d", b.Units, r.Name, b.From, b.To)
	case ByHold:
		return fmt.Sprintf("hold %d (%s)", c.Index, p.Holds[c.Index].Name)
	}
	r := p.Resources[c.Index]
	return fmt.Sprintf("there are %d of %s", r.Capacity, r.Name)
}

// String names a point of an activity.
func (pt Point) String() string {
	if pt.Finish {
		return fmt.Sprintf("the finish of %d", pt.Activity)
	}
	return fmt.Sprintf("the start of %d", pt.Activity)
}

// conflictBudget is the number of conflicts spent on each question. A subset
// not refuted within it counts as feasible, so causes named are always enough
// for a contradiction but might not all be needed.
const conflictBudget = 3000

// Conflict names demands that cannot be met together: dropping all deadlines,
// maximal lags, fixed starts, blocks, holds and capacities other than these
// leaves a problem that is still infeasible, and, within a budget of search,
// none of these could be dropped too. Durations, minimal lags and releases
// are taken for granted; no cause at all means that they contradict each other
// or the horizon. The answer is false if p could not be refuted in time.
//
// It is the QUICKXPLAIN method of Junker (AAAI 2004).
func Conflict(ctx context.Context, p *Problem) ([]Cause, bool, error) {
	if err := p.Check(); err != nil {
		return nil, false, err
	}
	q := &conflictFinder{ctx: ctx, p: p}
	all := p.causes()
	switch {
	case !q.refuted(all):
		return nil, false, nil
	case q.refuted(nil):
		return nil, true, nil
	}
	return q.explain(nil, false, all), ctx.Err() == nil, nil
}

type conflictFinder struct {
	ctx context.Context
	p   *Problem
}

func (q *conflictFinder) refuted(keep []Cause) bool {
	res, err := Solve(q.ctx, q.p.only(keep), Options{FirstOnly: true, MaxConflicts: conflictBudget})
	return err == nil && res.Status == Infeasible
}

// explain picks a least subset of from that contradicts together with base.
// changed tells whether base grew since it was last found feasible.
func (q *conflictFinder) explain(base []Cause, changed bool, from []Cause) []Cause {
	if changed && q.refuted(base) {
		return nil
	}
	if len(from) <= 1 {
		return from
	}
	half := len(from) / 2
	first, second := from[:half], from[half:]
	b := q.explain(join(base, first), true, second)
	a := q.explain(join(base, b), len(b) > 0, first)
	return join(a, b)
}

func join(a, b []Cause) []Cause { return append(append([]Cause(nil), a...), b...) }

// causes lists everything in p that Conflict may name, what a person would
// rather hear about first: of several explanations, one made of earlier causes
// is preferred.
func (p *Problem) causes() []Cause {
	var out []Cause
	for r := range p.Resources {
		out = append(out, Cause{Kind: ByCapacity, Index: r})
	}
	for k := range p.Holds {
		out = append(out, Cause{Kind: ByHold, Index: k})
	}
	for i := range p.Activities {
		if p.Activities[i].Fixed {
			out = append(out, Cause{Kind: ByFixedStart, Index: i})
		}
	}
	for r := range p.Resources {
		for b := range p.Resources[r].Blocks {
			out = append(out, Cause{Kind: ByBlock, Index: r, Sub: b})
		}
	}
	for k, l := range p.Lags {
		if l.Gap < 0 {
			out = append(out, Cause{Kind: ByLag, Index: k})
		}
	}
	for i := range p.Activities {
		if p.Activities[i].Deadline > 0 {
			out = append(out, Cause{Kind: ByDeadline, Index: i})
		}
	}
	return out
}

// only is p with no causes but those to keep, and without goals.
func (p *Problem) only(keep []Cause) *Problem {
	kept := make(map[Cause]bool, len(keep))
	for _, c := range keep {
		kept[c] = true
	}
	out := &Problem{Horizon: p.Horizon}
	out.Activities = append(out.Activities, p.Activities...)
	for i := range out.Activities {
		a := &out.Activities[i]
		if !kept[Cause{Kind: ByDeadline, Index: i}] {
			a.Deadline = 0
		}
		if !kept[Cause{Kind: ByFixedStart, Index: i}] {
			a.Fixed = false
		}
	}
	for r, res := range p.Resources {
		blocks := res.Blocks
		res.Blocks = nil
		for b := range blocks {
			if kept[Cause{Kind: ByBlock, Index: r, Sub: b}] {
				res.Blocks = append(res.Blocks, blocks[b])
			}
		}
		if !kept[Cause{Kind: ByCapacity, Index: r}] {
			res.Capacity, res.Blocks = maxTime, nil
		}
		out.Resources = append(out.Resources, res)
	}
	for k, l := range p.Lags {
		if l.Gap >= 0 || kept[Cause{Kind: ByLag, Index: k}] {
			out.Lags = append(out.Lags, l)
		}
	}
	for k, h := range p.Holds {
		if kept[Cause{Kind: ByHold, Index: k}] {
			out.Holds = append(out.Holds, h)
		} else {
			out.Lags = append(out.Lags, Between(h.From, h.To, 0))
		}
	}
	return out
}
