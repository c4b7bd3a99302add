package lcg

// mark is a remembered root state to come back to.
type mark struct {
	lo, root []int32
	clauses  []Lit
	inputs   []int32
	arcs     int
	wasFail  bool
}

// Mark remembers the root state. Later root bounds, differences and learned
// clauses are undone by Rewind; adding variables or other constraints in
// between is not allowed.
func (e *Engine) Mark() {
	e.Reset()
	ok := e.PropagateRoot()
	e.learnts = e.learnts[:0]
	e.repack()
	e.kept = mark{
		lo: append([]int32(nil), e.lo...), root: append([]int32(nil), e.root...),
		clauses: append([]Lit(nil), e.clauses...), inputs: append([]int32(nil), e.inputs...),
		arcs: len(e.arcs), wasFail: !ok || e.unsat,
	}
}

// Rewind goes back to the state at Mark. Remembered values stay.
func (e *Engine) Rewind() {
	m := &e.kept
	e.backtrack(0)
	e.forgetRoot()
	e.clearQueue()
	copy(e.lo, m.lo)
	copy(e.root, m.root)
	for id := len(e.arcs) - 1; id >= m.arcs; id-- {
		a := &e.arcs[id]
		out := e.arcsFrom[a.from]
		e.arcsFrom[a.from] = out[:len(out)-1]
	}
	e.arcs = e.arcs[:m.arcs]
	e.clauses = append(e.clauses[:0], m.clauses...)
	e.inputs = append(e.inputs[:0], m.inputs...)
	e.learnts = e.learnts[:0]
	for b := range e.watches {
		e.watches[b] = e.watches[b][:0]
	}
	for _, c := range e.inputs {
		lits := e.clauseLits(c)
		e.watchLit(lits[0], c, lits[1])
		e.watchLit(lits[1], c, lits[0])
	}
	e.act.forget()
	e.unsat = m.wasFail
}

// forget empties the ranking.
func (a *activity) forget() {
	a.nodes = a.nodes[:0]
	a.heap = a.heap[:0]
	a.popped = a.popped[:0]
	clear(a.index)
	a.inc = 1
}
