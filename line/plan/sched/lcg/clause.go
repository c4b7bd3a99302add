package lcg

import (
	"math"
	"slices"
)

// A clause lies in the arena as a header Lit{size, quality}, a second header
// Lit{activity bits, 0} and its literals. The first two literals are watched.
const clauseHead = 2

// watch names a clause to look at once a bound reaches at.
type watch struct {
	at     int32
	clause int32
	block  Lit // a literal of the clause; if it holds there is nothing to do
}

func (e *Engine) clauseLits(c int32) []Lit {
	n := e.clauses[c].B
	return e.clauses[c+clauseHead : c+clauseHead+n]
}

// watchLit makes clause c be looked at when l becomes false.
func (e *Engine) watchLit(l Lit, c int32, block Lit) {
	n := l.Not()
	e.watches[n.B] = append(e.watches[n.B], watch{n.K, c, block})
}

// AddClause adds a disjunction for good, at the root.
func (e *Engine) AddClause(lits ...Lit) bool {
	if e.unsat {
		return false
	}
	kept := make([]Lit, 0, len(lits))
	for _, l := range lits {
		if e.Holds(l) {
			return true
		}
		if !e.Fails(l) {
			kept = append(kept, l)
		}
	}
	switch len(kept) {
	case 0:
		e.unsat = true
		return false
	case 1:
		return e.Root(kept[0])
	}
	e.inputs = append(e.inputs, e.storeClause(kept, 0))
	return true
}

// storeClause puts a clause of two or more literals into the arena.
func (e *Engine) storeClause(lits []Lit, quality int32) int32 {
	c := int32(len(e.clauses))
	e.clauses = append(e.clauses, Lit{int32(len(lits)), quality},
		Lit{int32(math.Float32bits(e.claInc)), 0})
	e.clauses = append(e.clauses, lits...)
	e.watchLit(lits[0], c, lits[1])
	e.watchLit(lits[1], c, lits[0])
	return c
}

// propagateClauses visits the clauses with a watched literal that turned
// false when b rose from old to k.
func (e *Engine) propagateClauses(b, old, k int32) bool {
	ws := e.watches[b]
	keep := 0
	for i := 0; i < len(ws); i++ {
		w := ws[i]
		if w.at > k || w.at <= old || e.Holds(w.block) {
			ws[keep] = w
			keep++
			continue
		}
		lits := e.clauseLits(w.clause)
		gone := Lit{b, w.at}.Not()
		if lits[0] == gone {
			lits[0], lits[1] = lits[1], lits[0]
		}
		first := lits[0]
		if e.Holds(first) {
			ws[keep] = watch{w.at, w.clause, first}
			keep++
			continue
		}
		if e.rewatch(lits, w.clause, first) {
			continue
		}
		ws[keep] = w
		keep++
		if !e.set(first.B, first.K, makeReason(byClause, int(w.clause))) {
			keep += copy(ws[keep:], ws[i+1:])
			e.watches[b] = ws[:keep]
			return false
		}
	}
	e.watches[b] = ws[:keep]
	return true
}

// rewatch moves the second watch of a clause to a literal that is not false.
func (e *Engine) rewatch(lits []Lit, c int32, first Lit) bool {
	for j := 2; j < len(lits); j++ {
		l := lits[j]
		if e.lo[l.B^1] <= -l.K { // not false
			lits[1], lits[j] = l, lits[1]
			e.watchLit(l, c, first)
			return true
		}
	}
	return false
}

// clausePremises appends the negated other literals of a clause that set a
// bound. The literal set is always the first: it cannot turn false, and so
// cannot move, while the bound stands.
func (e *Engine) clausePremises(out []Lit, c int) []Lit {
	e.bumpClause(int32(c))
	for _, l := range e.clauseLits(int32(c))[1:] {
		out = append(out, l.Not())
	}
	return out
}

func (e *Engine) bumpClause(c int32) {
	if e.clauses[c].K == 0 {
		return
	}
	h := &e.clauses[c+1]
	a := math.Float32frombits(uint32(h.B)) + e.claInc
	h.B = int32(math.Float32bits(a))
	if a > 1e20 {
		for _, c := range e.learnts {
			h := &e.clauses[c+1]
			h.B = int32(math.Float32bits(math.Float32frombits(uint32(h.B)) * 1e-20))
		}
		e.claInc *= 1e-20
	}
}

// reduce forgets the less useful half of the learned clauses, and whatever
// the root bounds satisfy, and packs the arena. Only at the root.
func (e *Engine) reduce() {
	if len(e.learnts) > e.maxKept {
		ls := e.learnts
		slices.SortStableFunc(ls, func(a, b int32) int {
			qa, qb := e.clauses[a].K, e.clauses[b].K
			if (qa <= 2) != (qb <= 2) {
				return int(min(qa, 3) - min(qb, 3))
			}
			x := math.Float32frombits(uint32(e.clauses[a+1].B))
			y := math.Float32frombits(uint32(e.clauses[b+1].B))
			switch {
			case x > y:
				return -1
			case x < y:
				return 1
			}
			return 0
		})
		e.learnts = ls[:len(ls)/2]
		e.maxKept += e.maxKept / 20
	}
	e.repack()
}

// repack rebuilds arena and watches without clauses that hold at the root and
// without literals that fail there.
func (e *Engine) repack() {
	old := e.clauses
	e.clauses = make([]Lit, 0, len(old))
	for i := range e.watches {
		e.watches[i] = e.watches[i][:0]
	}
	e.inputs = e.copyClauses(old, e.inputs)
	e.learnts = e.copyClauses(old, e.learnts)
}

func (e *Engine) copyClauses(old []Lit, refs []int32) []int32 {
	kept := refs[:0]
	for _, c := range refs {
		n := old[c].B
		start := int32(len(e.clauses))
		e.clauses = append(e.clauses, old[c], old[c+1])
		holds := false
		for _, l := range old[c+clauseHead : c+clauseHead+n] {
			if e.Holds(l) {
				holds = true
				break
			}
			if !e.Fails(l) {
				e.clauses = append(e.clauses, l)
			}
		}
		size := int32(len(e.clauses)) - start - clauseHead
		if holds || size < 2 {
			if !holds && size == 1 {
				l := e.clauses[start+clauseHead]
				e.Root(l)
			} else if !holds {
				e.unsat = true
			}
			e.clauses = e.clauses[:start]
			continue
		}
		e.clauses[start].B = size
		lits := e.clauseLits(start)
		e.watchLit(lits[0], start, lits[1])
		e.watchLit(lits[1], start, lits[0])
		kept = append(kept, start)
	}
	return kept
}
