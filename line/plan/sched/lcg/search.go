package lcg

// Answer is how a search ended.
type Answer int

const (
	// Stopped: a limit was reached.
	Stopped Answer = iota
	// Solved: every variable is fixed; read the values before the next call.
	Solved
	// Refuted: no solution under the assumptions.
	Refuted
	// Contradiction: no solution at all.
	Contradiction
)

const restartUnit = 100

// Search looks for a solution under assumptions until it has spent about
// limit conflicts. Learned clauses stay for later calls.
func (e *Engine) Search(assume []Lit, limit int64) Answer {
	e.Reset()
	if !e.PropagateRoot() {
		return Contradiction
	}
	end := e.Conflicts + limit
	for run := int64(1); ; run++ {
		budget := min(luby(run)*restartUnit, end-e.Conflicts)
		if budget <= 0 {
			return Stopped
		}
		if ans := e.dive(assume, budget); ans != Stopped {
			return ans
		}
		if e.Stop != nil && e.Stop() {
			return Stopped
		}
		e.backtrack(0)
		if !e.PropagateRoot() {
			return Contradiction
		}
		if len(e.learnts) > e.maxKept {
			e.reduce()
			if !e.PropagateRoot() {
				return Contradiction
			}
			e.act.prune(e, 20000)
		}
	}
}

// Refutes tells whether propagation alone contradicts an assumption.
func (e *Engine) Refutes(l Lit) bool {
	e.Reset()
	if !e.PropagateRoot() {
		return true
	}
	e.newLevel()
	out := !e.set(l.B, l.K, byDecision)
	if !out {
		e.wakeSlow()
		out = !e.propagate()
	}
	e.backtrack(0)
	return out
}

// wakeSlow queues every costly propagator, as they may have been left out.
func (e *Engine) wakeSlow() {
	for p := range e.slow {
		if e.slow[p] {
			e.enqueue(int32(p))
		}
	}
}

// Reset goes back to the root after a search.
func (e *Engine) Reset() {
	e.backtrack(0)
}

// dive runs one restart.
func (e *Engine) dive(assume []Lit, budget int64) Answer {
	end := e.Conflicts + budget
	polls := 0
	for {
		if !e.propagate() {
			if ans := e.resolve(); ans != Stopped {
				return ans
			}
			continue
		}
		if e.Conflicts >= end {
			return Stopped
		}
		if polls++; polls&63 == 0 && e.Stop != nil && e.Stop() {
			return Stopped
		}
		l, ans := e.nextDecision(assume)
		if ans != Stopped {
			return ans
		}
		e.newLevel()
		e.Decisions++
		e.set(l.B, l.K, byDecision)
	}
}

// resolve learns from the stored conflict and goes back.
func (e *Engine) resolve() Answer {
	e.Conflicts++
	lv := e.conflictLevel()
	if lv == 0 {
		e.backtrack(0)
		e.unsat = true
		return Contradiction
	}
	e.backtrack(lv)
	back := e.analyze()
	q := e.quality()
	for _, l := range e.an.clause {
		e.act.bump(l)
	}
	e.backtrack(back)
	e.learn(q)
	e.act.decay()
	e.claInc /= 0.999
	return Stopped
}

// learn adds the analysed clause and asserts its first literal.
func (e *Engine) learn(quality int32) {
	c := e.an.clause
	r := byDecision
	if len(c) > 1 {
		id := e.storeClause(c, max(quality, 1))
		e.learnts = append(e.learnts, id)
		r = makeReason(byClause, int(id))
	}
	e.set(c[0].B, c[0].K, r)
}

// nextDecision picks the next assumption, or a literal by activity, or what
// the model's own rule wants.
func (e *Engine) nextDecision(assume []Lit) (Lit, Answer) {
	for int(e.level()) < len(assume) {
		l := assume[e.level()]
		if e.Fails(l) {
			return l, Refuted
		}
		if !e.Holds(l) {
			return l, Stopped
		}
		e.newLevel()
	}
	if e.UseActivity {
		if l, ok := e.act.next(e); ok {
			return e.orient(l), Stopped
		}
	}
	if l, ok := e.decide(e); ok {
		return l, Stopped
	}
	return Lit{}, Solved
}

// orient turns an open literal to the side of the remembered value.
func (e *Engine) orient(l Lit) Lit {
	if e.saved[l.B>>1] >= l.K {
		return l
	}
	return l.Not()
}

// Remember sets the value that v was last seen with.
func (e *Engine) Remember(v Var, value int32) { e.saved[v] = value }

// luby is the sequence 1 1 2 1 1 2 4 ... of Luby, Sinclair and Zuckerman
// (Information Processing Letters 47, 1993).
func luby(i int64) int64 {
	for k := int64(1); ; k++ {
		if i == 1<<k-1 {
			return 1 << (k - 1)
		}
		if i < 1<<k-1 {
			return luby(i - (1<<(k-1) - 1))
		}
	}
}
