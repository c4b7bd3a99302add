package lcg

import "math"

// event is one tightening of a bound.
type event struct {
	b, k   int32 // signed variable b got the lower bound k
	old    int32 // bound before
	prev   int32 // index of the event that set old, -1 if it is a root bound
	level  int32
	reason reason
}

// propagator reacts to bound changes that neither clauses nor arcs cover.
type propagator interface {
	// propagate tightens bounds through the engine. It returns false after a
	// failed Engine.set or Engine.fail.
	propagate(e *Engine) bool
}

// Engine holds variables, constraints and the state of one search. It is not
// safe for concurrent use.
type Engine struct {
	lo    []int32 // lower bound per signed variable
	root  []int32 // lower bound per signed variable at the root
	last  []int32 // index of the latest event per signed variable, -1 if none
	trail []event
	qhead int
	// levelTrail and levelRecord are the lengths of trail and records at the
	// start of each decision level.
	levelTrail, levelRecord []int32

	clauses  []Lit // arena: see clause.go
	learnts  []int32
	inputs   []int32
	watches  [][]watch
	arcs     []arc
	arcsFrom [][]int32
	arcsCond [][]int32
	records  []Lit // stored conjunctions, cut back on backtracking
	linears  []*linear

	props   []propagator
	wakes   [][]int32 // propagators to wake per signed variable
	queued  []bool
	queue   []int32
	slow    []bool  // per propagator: runs after all others
	later   []int32 // queue of slow ones
	unsat   bool
	confl   []Lit // conjunction that cannot hold, set by a failure
	an      analysis
	act     activity
	decide  func(*Engine) (Lit, bool)
	claInc  float32
	maxKept int

	// UseActivity makes conflict-driven activity pick decisions; else, and
	// when it has nothing left, the decide function does.
	UseActivity bool
	// Thorough runs the costly propagators too.
	Thorough bool
	// Stop, if set, is asked regularly whether to give up.
	Stop func() bool

	Conflicts, Decisions, Propagations int64

	saved []int32 // value per variable when last undone
	kept  mark
}

// New returns an engine. decide names the next decision, a literal that is
// neither true nor false, or reports that every variable is settled.
func New(decide func(*Engine) (Lit, bool)) *Engine {
	e := &Engine{decide: decide, claInc: 1, maxKept: 4000}
	e.act.init()
	e.NewVar(0, 0)
	return e
}

// NewVar adds a variable with the given bounds.
func (e *Engine) NewVar(lo, hi int32) Var {
	v := Var(len(e.lo) / 2)
	e.lo = append(e.lo, lo, -hi)
	e.root = append(e.root, lo, -hi)
	e.last = append(e.last, -1, -1)
	e.watches = append(e.watches, nil, nil)
	e.arcsFrom = append(e.arcsFrom, nil, nil)
	e.arcsCond = append(e.arcsCond, nil, nil)
	e.wakes = append(e.wakes, nil, nil)
	e.saved = append(e.saved, lo)
	if lo > hi {
		e.unsat = true
	}
	return v
}

// NewBool adds a Boolean variable.
func (e *Engine) NewBool() Var { return e.NewVar(0, 1) }

// Lo and Hi are the current bounds of v.
func (e *Engine) Lo(v Var) int32 { return e.lo[2*v] }
func (e *Engine) Hi(v Var) int32 { return -e.lo[2*v+1] }

// Fixed tells whether v has one value left.
func (e *Engine) Fixed(v Var) bool { return e.lo[2*v] == -e.lo[2*v+1] }

// Holds and Fails tell whether a literal is decided, and how.
func (e *Engine) Holds(l Lit) bool { return e.lo[l.B] >= l.K }
func (e *Engine) Fails(l Lit) bool { return e.lo[l.B^1] > -l.K }

// Unsat tells whether the root is known to be contradictory.
func (e *Engine) Unsat() bool { return e.unsat }

func (e *Engine) level() int32 { return int32(len(e.levelTrail)) }

// set tightens a bound. On failure the conflict is stored.
func (e *Engine) set(b, k int32, r reason) bool {
	old := e.lo[b]
	if k <= old {
		return true
	}
	if k > -e.lo[b^1] {
		e.confl = e.confl[:0]
		e.confl = append(e.confl, Lit{b ^ 1, 1 - k})
		e.confl = e.premises(e.confl, b, k, r, len(e.trail))
		return false
	}
	e.trail = append(e.trail, event{b, k, old, e.last[b], e.level(), r})
	e.last[b] = int32(len(e.trail) - 1)
	e.lo[b] = k
	return true
}

// fail stores a conflict: the literals all hold but must not.
func (e *Engine) fail(premises []Lit) bool {
	e.confl = append(e.confl[:0], premises...)
	return false
}

// record stores a conjunction as a reason for set.
func (e *Engine) record(premises []Lit) reason {
	at := len(e.records)
	e.records = append(e.records, Lit{int32(len(premises)), 0})
	e.records = append(e.records, premises...)
	return makeReason(byRecord, at)
}

// premises appends what implied b >= k when the trail was pos long.
func (e *Engine) premises(out []Lit, b, k int32, r reason, pos int) []Lit {
	switch r.tag() {
	case byClause:
		return e.clausePremises(out, r.index())
	case byArc:
		a := &e.arcs[r.index()]
		if a.cond != Always {
			out = append(out, a.cond)
		}
		return append(out, Lit{a.from, k - a.weight})
	case byRecord:
		at := r.index()
		n := int(e.records[at].B)
		return append(out, e.records[at+1:at+1+n]...)
	case byLinear:
		return e.linears[r.index()].explain(e, out, b, k, pos)
	}
	return out
}

// boundAt is the bound of b when the trail was pos long.
func (e *Engine) boundAt(b int32, pos int) int32 {
	i := e.last[b]
	k := e.lo[b]
	for i >= int32(pos) {
		k = e.trail[i].old
		i = e.trail[i].prev
	}
	return k
}

func (e *Engine) newLevel() {
	e.levelTrail = append(e.levelTrail, int32(len(e.trail)))
	e.levelRecord = append(e.levelRecord, int32(len(e.records)))
}

// backtrack undoes every level above to.
func (e *Engine) backtrack(to int32) {
	if e.level() <= to {
		return
	}
	cut := e.levelTrail[to]
	for i := int32(len(e.trail)) - 1; i >= cut; i-- {
		ev := &e.trail[i]
		v := ev.b >> 1
		if ev.b&1 == 0 {
			if ev.k > e.saved[v] {
				e.saved[v] = ev.k
			}
		} else if -ev.k < e.saved[v] {
			e.saved[v] = -ev.k
		}
		e.lo[ev.b] = ev.old
		e.last[ev.b] = ev.prev
	}
	e.trail = e.trail[:cut]
	e.records = e.records[:e.levelRecord[to]]
	e.levelTrail = e.levelTrail[:to]
	e.levelRecord = e.levelRecord[:to]
	e.qhead = int(cut)
	e.act.restore(to)
	e.clearQueue()
}

func (e *Engine) clearQueue() {
	for _, p := range e.queue {
		e.queued[p] = false
	}
	for _, p := range e.later {
		e.queued[p] = false
	}
	e.queue, e.later = e.queue[:0], e.later[:0]
}

// forgetRoot drops the trail of the root level: its bounds need no reason.
func (e *Engine) forgetRoot() {
	for i := range e.trail {
		b := e.trail[i].b
		e.last[b] = -1
		e.root[b] = e.lo[b]
	}
	e.trail = e.trail[:0]
	e.records = e.records[:0]
	e.qhead = 0
}

// addPropagator registers p and the signed variables whose bounds wake it.
func (e *Engine) addPropagator(p propagator, bs ...int32) { e.register(p, false, bs) }

// addSlowPropagator is addPropagator for one to run when all others are done.
func (e *Engine) addSlowPropagator(p propagator, bs ...int32) { e.register(p, true, bs) }

func (e *Engine) enqueue(p int32) {
	if e.queued[p] {
		return
	}
	e.queued[p] = true
	if e.slow[p] {
		e.later = append(e.later, p)
	} else {
		e.queue = append(e.queue, p)
	}
}

func (e *Engine) register(p propagator, slow bool, bs []int32) {
	id := int32(len(e.props))
	e.props = append(e.props, p)
	e.queued = append(e.queued, false)
	e.slow = append(e.slow, slow)
	e.enqueue(id)
	for _, b := range bs {
		e.wakes[b] = append(e.wakes[b], id)
	}
}

// propagate runs everything to a fixpoint, or returns false with confl set.
func (e *Engine) propagate() bool {
	for {
		for e.qhead < len(e.trail) {
			ev := e.trail[e.qhead]
			e.qhead++
			e.Propagations++
			if !e.propagateClauses(ev.b, ev.old, ev.k) || !e.propagateArcs(ev.b, ev.old, ev.k) {
				return false
			}
			for _, p := range e.wakes[ev.b] {
				e.enqueue(p)
			}
		}
		q := &e.queue
		if len(*q) == 0 {
			if q = &e.later; len(*q) == 0 || !e.Thorough {
				return true
			}
		}
		p := (*q)[0]
		copy(*q, (*q)[1:])
		*q = (*q)[:len(*q)-1]
		e.queued[p] = false
		if !e.props[p].propagate(e) {
			return false
		}
	}
}

// Root tightens a bound for good. The engine must be between searches.
func (e *Engine) Root(l Lit) bool {
	if e.unsat {
		return false
	}
	if l.K > math.MinInt32/2 && !e.set(l.B, l.K, byDecision) {
		e.unsat = true
	}
	return !e.unsat
}

// PropagateRoot propagates at the root and reports whether it is consistent.
func (e *Engine) PropagateRoot() bool {
	if e.unsat {
		return false
	}
	if !e.propagate() {
		e.unsat = true
		return false
	}
	e.forgetRoot()
	return true
}
