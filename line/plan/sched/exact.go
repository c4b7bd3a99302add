package sched

import "shedbell/line/plan/sched/lcg"

// exact is the worker that proves: branch and bound by clause learning, from
// above (improve the best) and from below (refute the bound) in turns.
type exact struct {
	b       *pool
	m       *model
	goal    int // goal being worked on; earlier ones are pinned at the root
	turn    int64
	climbed int // goals whose bound was raised by propagation alone
}

func newExact(b *pool) (*exact, error) {
	m, err := compile(b.p)
	if err != nil {
		return nil, err
	}
	m.e.Stop = b.stop.Load
	for k, g := range m.goal {
		if !m.e.Unsat() {
			b.bounds[k] = int(m.e.Lo(g.v) + g.gap)
		}
	}
	x := &exact{b: b, m: m}
	if h := b.opt.Hint; h != nil && !m.e.Unsat() {
		m.wishFor(h)
		// The hint may still be feasible as it stands.
		if m.e.Search(m.pin(h), 1) == lcg.Solved {
			b.offer(m.read())
		}
		m.e.Reset()
	}
	return x, nil
}

// done tells whether there is nothing left to do or to spend.
func (x *exact) done() bool {
	limit := x.b.opt.MaxConflicts
	return x.b.stop.Load() || limit > 0 && x.m.e.Conflicts >= limit
}

// report hands in the counts of work done.
func (x *exact) report() {
	e := x.m.e
	x.b.count(Stats{Conflicts: e.Conflicts, Decisions: e.Decisions, Propagations: e.Propagations})
}

const (
	slice = 500 // conflicts
	// Every so many slices, one tries to refute the bound itself, with the
	// costly energy reasoning.
	probeEvery = 3
)

// step runs one slice of search.
func (x *exact) step() {
	e := x.m.e
	best, goal, bound := x.b.state()
	for x.goal < goal {
		g := x.m.goal[x.goal]
		e.Reset()
		e.Root(lcg.AtMost(g.v, int32(best.Values[x.goal])-g.gap))
		x.goal++
	}
	if goal == len(x.m.goal) {
		return
	}
	g := x.m.goal[goal]
	e.Reset()
	e.Root(lcg.AtLeast(g.v, int32(bound)-g.gap))
	if !e.PropagateRoot() {
		x.contradiction(best, goal)
		return
	}
	bound = int(e.Lo(g.v) + g.gap)
	x.b.raise(goal, bound)
	if best, goal, _ = x.b.state(); goal != x.goal {
		return
	}
	if x.climbed <= goal {
		x.climbed = goal + 1
		bound = x.climb(g, bound, best)
	}
	var assume []lcg.Lit
	probe := best != nil && x.turn%probeEvery == probeEvery-1
	switch {
	case probe:
		assume = append(assume, lcg.AtMost(g.v, int32(bound)-g.gap))
	case best != nil:
		assume = append(assume, lcg.AtMost(g.v, int32(best.Values[goal]-1)-g.gap))
	}
	e.Thorough = probe
	x.turn++
	e.UseActivity = x.turn > 1
	switch e.Search(assume, slice) {
	case lcg.Solved:
		s := x.m.read()
		x.b.offer(s)
	case lcg.Refuted:
		if probe {
			x.b.raise(goal, bound+1)
		} else if best != nil {
			x.b.raise(goal, best.Values[goal])
		}
	case lcg.Contradiction:
		x.contradiction(best, goal)
	}
}

// contradiction at the root: nothing beats the best in the current goal.
func (x *exact) contradiction(best *Solution, goal int) {
	if best == nil {
		x.b.refute()
		return
	}
	x.b.raise(goal, best.Values[goal])
}

// climb raises the bound of a goal by bisection as far as propagation alone
// can refute.
func (x *exact) climb(g timeAt, bound int, best *Solution) int {
	e := x.m.e
	lo, hi := bound, int(e.Hi(g.v)+g.gap)+1
	if best != nil {
		hi = best.Values[x.goal]
	}
	e.Thorough = true
	for lo < hi && !x.b.stop.Load() {
		mid := lo + (hi-lo)/2
		if e.Refutes(lcg.AtMost(g.v, int32(mid)-g.gap)) {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	e.Thorough = false
	e.Root(lcg.AtLeast(g.v, int32(lo)-g.gap))
	x.b.raise(x.goal, lo)
	return lo
}
