package sched

import (
	"slices"
	"sync"
	"sync/atomic"
)

// pool is what the workers of one Solve share: the best schedule, the bounds
// and the wish to stop.
type pool struct {
	p    *Problem
	opt  Options
	stop atomic.Bool
	// version counts improvements, so that a worker can see cheaply whether
	// there is news.
	version atomic.Int64

	mu         sync.Mutex
	best       *Solution
	bounds     []int
	proved     int // goals proved, from the first on
	infeasible bool
	stats      Stats
}

func newPool(p *Problem, opt Options) *pool {
	b := &pool{p: p, opt: opt, bounds: make([]int, len(p.goals()))}
	for k := range b.bounds {
		b.bounds[k] = -maxTime
	}
	return b
}

// offer hands in a feasible schedule and reports whether it is the new best.
func (b *pool) offer(s Schedule) bool {
	v := b.p.Values(s)
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.best != nil && slices.Compare(v, b.best.Values) >= 0 {
		return false
	}
	sol := &Solution{Schedule{slices.Clone(s.Start), slices.Clone(s.Mode)}, v}
	b.best = sol
	b.version.Add(1)
	b.settle()
	if b.opt.OnSolution != nil {
		b.opt.OnSolution(*sol)
	}
	if b.opt.FirstOnly {
		b.stop.Store(true)
	}
	return true
}

// raise hands in a lower bound for goal k, valid among schedules that are best
// in every goal before k.
func (b *pool) raise(k, bound int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if k == b.proved && bound > b.bounds[k] {
		b.bounds[k] = bound
		b.settle()
	}
}

// settle moves on from goals whose best value meets the bound.
func (b *pool) settle() {
	for b.best != nil && b.proved < len(b.bounds) && b.bounds[b.proved] >= b.best.Values[b.proved] {
		b.bounds[b.proved] = b.best.Values[b.proved]
		b.proved++
	}
	if b.proved == len(b.bounds) {
		b.stop.Store(true)
	}
}

// refute records that there is no schedule at all.
func (b *pool) refute() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.infeasible = b.best == nil
	b.stop.Store(true)
}

// state is the best schedule, the goal being worked on and its lower bound.
func (b *pool) state() (best *Solution, goal, bound int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.proved < len(b.bounds) {
		bound = b.bounds[b.proved]
	}
	return b.best, b.proved, bound
}

func (b *pool) count(s Stats) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.stats.Conflicts += s.Conflicts
	b.stats.Decisions += s.Decisions
	b.stats.Propagations += s.Propagations
	b.stats.Schedules += s.Schedules
}

func (b *pool) result() Result {
	b.mu.Lock()
	defer b.mu.Unlock()
	r := Result{Best: b.best, Bounds: slices.Clone(b.bounds), Stats: b.stats}
	switch {
	case b.infeasible:
		r.Status = Infeasible
	case b.best == nil:
		r.Status = Unknown
	case b.proved == len(b.bounds):
		r.Status = Optimal
	default:
		r.Status = Feasible
	}
	return r
}
