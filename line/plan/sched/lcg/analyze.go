package lcg

import "math"

const noNeed = math.MinInt32

// analysis is the scratch space of conflict analysis.
type analysis struct {
	// need is, per trail event, the bound that the conflict needs of it.
	need []int32
	// proved and refuted remember, per trail event, answers of redundant.
	proved, refuted []int32
	lower           []int32 // events below the conflict level in the clause
	dirty           []int32 // events with proved or refuted set
	buf             []Lit
	stack           []Lit
	clause          []Lit
	levelSeen       []int64
	stamp           int64
}

func (a *analysis) grow(n int) {
	for len(a.need) < n {
		a.need = append(a.need, noNeed)
		a.proved = append(a.proved, noNeed)
		a.refuted = append(a.refuted, noNeed)
	}
}

// eventOf is the index of the event that first made l hold, -1 for the root.
func (e *Engine) eventOf(l Lit) int32 {
	i := e.last[l.B]
	for i >= 0 && e.trail[i].old >= l.K {
		i = e.trail[i].prev
	}
	if i >= 0 && e.trail[i].level == 0 {
		return -1
	}
	return i
}

// conflictLevel is the highest level among the conflict's literals.
func (e *Engine) conflictLevel() int32 {
	top := int32(0)
	for _, l := range e.confl {
		if i := e.eventOf(l); i >= 0 {
			top = max(top, e.trail[i].level)
		}
	}
	return top
}

// markNeed marks the event behind a premise and counts it if it is of level cur.
func (e *Engine) markNeed(l Lit, cur int32, open *int) {
	i := e.eventOf(l)
	if i < 0 {
		return
	}
	a := &e.an
	if a.need[i] != noNeed {
		a.need[i] = max(a.need[i], l.K)
		return
	}
	a.need[i] = l.K
	e.act.bumpKnown(l)
	if e.trail[i].level == cur {
		*open++
	} else {
		a.lower = append(a.lower, i)
	}
}

// analyze derives the first-unique-implication-point clause of the stored
// conflict into an.clause, its first literal being the one to assert, and
// returns the level to go back to. The conflict must have a literal of the
// current level, which must not be 0.
func (e *Engine) analyze() int32 {
	a := &e.an
	a.grow(len(e.trail))
	a.lower = a.lower[:0]
	cur := e.level()
	open := 0
	for _, l := range e.confl {
		e.markNeed(l, cur, &open)
	}
	i := len(e.trail) - 1
	for ; ; i-- {
		k := a.need[i]
		if k == noNeed {
			continue
		}
		open--
		if open == 0 {
			break
		}
		a.need[i] = noNeed
		ev := &e.trail[i]
		a.buf = e.premises(a.buf[:0], ev.b, k, ev.reason, i)
		for _, l := range a.buf {
			e.markNeed(l, cur, &open)
		}
	}
	uip := Lit{e.trail[i].b, a.need[i]}
	a.clause = append(a.clause[:0], uip.Not())
	back := e.collectLower()
	a.need[i] = noNeed
	for _, i := range a.lower {
		a.need[i] = noNeed
	}
	for _, i := range a.dirty {
		a.proved[i], a.refuted[i] = noNeed, noNeed
	}
	a.dirty = a.dirty[:0]
	return back
}

// collectLower adds the needed events of lower levels to the clause, without
// those that the others imply, and returns the highest level among them. That
// literal becomes the clause's second.
func (e *Engine) collectLower() int32 {
	a := &e.an
	a.stamp++
	// First the outranked go, so that nothing else is dropped because of them.
	kept := a.lower[:0]
	for _, i := range a.lower {
		if e.outranked(i) {
			a.need[i] = noNeed
		} else {
			kept = append(kept, i)
		}
	}
	a.lower = kept
	for _, i := range a.lower {
		lv := e.trail[i].level
		for int(lv) >= len(a.levelSeen) {
			a.levelSeen = append(a.levelSeen, 0)
		}
		a.levelSeen[lv] = a.stamp
	}
	back, at := int32(0), 0
	for _, i := range a.lower {
		ev := &e.trail[i]
		if e.redundant(i, a.need[i]) {
			continue
		}
		a.clause = append(a.clause, Lit{ev.b, a.need[i]}.Not())
		if ev.level > back {
			back, at = ev.level, len(a.clause)-1
		}
	}
	if at > 0 {
		a.clause[1], a.clause[at] = a.clause[at], a.clause[1]
	}
	return back
}

// outranked tells whether a later event of the same signed variable is in the
// clause too: its literal implies this one.
func (e *Engine) outranked(i int32) bool {
	b := e.trail[i].b
	for j := e.last[b]; j > i; j = e.trail[j].prev {
		if e.an.need[j] != noNeed {
			return true
		}
	}
	return false
}

// redundant tells whether other literals of the clause imply bound k of event
// i through its reason.
func (e *Engine) redundant(i, k int32) bool {
	r := e.trail[i].reason
	if r.tag() == byDecision {
		return false
	}
	return e.impliedBy(i, k, 0)
}

const maxMinimizeDepth = 24

// impliedBy checks that every premise of event i is in the clause, or implied
// by it in turn. Premises are older than what they imply, so it ends.
func (e *Engine) impliedBy(i, k int32, depth int) bool {
	a := &e.an
	ev := &e.trail[i]
	if ev.reason.tag() == byDecision || depth > maxMinimizeDepth {
		return false
	}
	base := len(a.stack)
	a.stack = e.premises(a.stack, ev.b, k, ev.reason, int(i))
	end := len(a.stack)
	ok := true
	for j := base; j < end && ok; j++ {
		l := a.stack[j]
		p := e.eventOf(l)
		if p < 0 || a.need[p] != noNeed && a.need[p] >= l.K || a.proved[p] != noNeed && a.proved[p] >= l.K {
			continue
		}
		lv := e.trail[p].level
		if int(lv) >= len(a.levelSeen) || a.levelSeen[lv] != a.stamp || a.refuted[p] != noNeed && a.refuted[p] <= l.K {
			ok = false
			break
		}
		ok = e.impliedBy(p, l.K, depth+1)
		a.dirty = append(a.dirty, p)
		if ok {
			a.proved[p] = max(a.proved[p], l.K)
		} else if a.refuted[p] == noNeed || l.K < a.refuted[p] {
			a.refuted[p] = l.K
		}
	}
	a.stack = a.stack[:base]
	return ok
}

// quality is the number of distinct decision levels in the learned clause.
func (e *Engine) quality() int32 {
	a := &e.an
	a.stamp++
	n := int32(0)
	for _, l := range a.clause {
		i := e.eventOf(l.Not())
		if i < 0 {
			continue
		}
		lv := e.trail[i].level
		for int(lv) >= len(a.levelSeen) {
			a.levelSeen = append(a.levelSeen, 0)
		}
		if a.levelSeen[lv] != a.stamp {
			a.levelSeen[lv] = a.stamp
			n++
		}
	}
	return n
}
