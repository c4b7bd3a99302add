package lcg

// arc is one direction of a difference constraint: to >= from + weight on
// signed variables, once cond holds.
type arc struct {
	from, to, weight int32
	cond             Lit
}

// AddDifference posts y >= x + gap, enforced once cond holds (Always for a
// plain one).
func (e *Engine) AddDifference(x, y Var, gap int32, cond Lit) {
	bx, by := int32(x)*2, int32(y)*2
	e.addArc(arc{bx, by, gap, cond})
	e.addArc(arc{by ^ 1, bx ^ 1, gap, cond})
}

func (e *Engine) addArc(a arc) {
	id := int32(len(e.arcs))
	e.arcs = append(e.arcs, a)
	e.arcsFrom[a.from] = append(e.arcsFrom[a.from], id)
	if a.cond != Always {
		e.arcsCond[a.cond.B] = append(e.arcsCond[a.cond.B], id)
	}
	if !e.unsat && !e.runArc(id) {
		e.unsat = true
	}
}

// propagateArcs follows the arcs that b's rise from old to k concerns.
func (e *Engine) propagateArcs(b, old, k int32) bool {
	for _, id := range e.arcsFrom[b] {
		a := &e.arcs[id]
		if a.cond == Always {
			if v := e.lo[b] + a.weight; v > e.lo[a.to] && !e.set(a.to, v, makeReason(byArc, int(id))) {
				return false
			}
		} else if !e.runArc(id) {
			return false
		}
	}
	for _, id := range e.arcsCond[b] {
		if c := e.arcs[id].cond; old < c.K && c.K <= k && !e.runArc(id) {
			return false
		}
	}
	return true
}

// runArc enforces an arc whose condition holds, and refutes the condition of
// one that could not be met.
func (e *Engine) runArc(id int32) bool {
	a := &e.arcs[id]
	v := e.lo[a.from] + a.weight
	if e.Holds(a.cond) {
		return e.set(a.to, v, makeReason(byArc, int(id)))
	}
	if v > -e.lo[a.to^1] && !e.Fails(a.cond) {
		// from >= v-weight and to <= v-1 rule the arc out.
		n := a.cond.Not()
		why := [2]Lit{{a.from, v - a.weight}, {a.to ^ 1, 1 - v}}
		return e.set(n.B, n.K, e.record(why[:]))
	}
	return true
}
