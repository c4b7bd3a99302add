package sched

import (
	"slices"

	"shedbell/line/plan/sched/lcg"
)

// maxPairs bounds the number of order Booleans per problem.
const maxPairs = 3000

// stepsBetween turns a step function, sampled from the least cut on, into
// blocks of constant positive units.
func stepsBetween(cuts []int, units func(int) int) []Block {
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	var out []Block
	for k := 0; k+1 < len(cuts); k++ {
		u := units(cuts[k])
		if u <= 0 {
			continue
		}
		if n := len(out); n > 0 && out[n-1].To == cuts[k] && out[n-1].Units == u {
			out[n-1].To = cuts[k+1]
			continue
		}
		out = append(out, Block{cuts[k], cuts[k+1], u})
	}
	return out
}

// addPairs gives each two tasks that never fit together a Boolean for their
// order. Only for resources that take one task at a time: there the order is
// the decision.
func (m *model) addPairs(tasks []lcg.Task, capacity int32) {
	if len(tasks) < 2 {
		return
	}
	least := capacity + 1
	for _, t := range tasks {
		if t.Present != lcg.Always || t.Start != t.End || t.Group != 0 {
			return
		}
		least = min(least, t.Demand)
	}
	if 2*least <= capacity || len(m.pairs)+len(tasks)*(len(tasks)-1)/2 > maxPairs {
		return
	}
	e := m.e
	for i := range tasks {
		for j := range i {
			a, b := &tasks[i], &tasks[j]
			v := e.NewBool()
			e.AddDifference(a.Start, b.Start, a.EndGap-b.StartGap, lcg.IsTrue(v))
			e.AddDifference(b.Start, a.Start, b.EndGap-a.StartGap, lcg.IsFalse(v))
			m.pairs = append(m.pairs, pairOrder{first: v})
		}
	}
}

// decide starts the open activity that can start earliest, at once; with a
// wished start, the one whose turn it is by that. Modes are settled just
// before, towards the wished one.
func (m *model) decide(e *lcg.Engine) (lcg.Lit, bool) {
	best, bestKey, bestHi := int32(-1), int32(0), int32(0)
	for i, s := range m.start {
		lo, hi := e.Lo(s), e.Hi(s)
		if lo == hi && (!m.alternatives || m.modeSettled(i)) {
			continue
		}
		key := lo
		if m.wish != nil {
			key = max(key, m.wish[i])
		}
		if best < 0 || key < bestKey || key == bestKey && hi < bestHi {
			best, bestKey, bestHi = int32(i), key, hi
		}
	}
	if best >= 0 {
		if l, open := m.openMode(best); open {
			return l, true
		}
		s := m.start[best]
		return lcg.AtMost(s, e.Lo(s)), true
	}
	for _, pr := range m.pairs {
		if !e.Fixed(pr.first) {
			return lcg.IsTrue(pr.first), true
		}
	}
	for _, v := range m.rest {
		if !e.Fixed(v) {
			return lcg.AtMost(v, e.Lo(v)), true
		}
	}
	return lcg.Lit{}, false
}

func (m *model) modeSettled(i int) bool {
	_, open := m.openMode(int32(i))
	return !open
}

// openMode is a mode of activity i that is neither taken nor ruled out, the
// wished one if possible.
func (m *model) openMode(i int32) (lcg.Lit, bool) {
	picks := m.pick[i]
	if len(picks) == 1 {
		return lcg.Lit{}, false
	}
	e := m.e
	if m.wishMode != nil {
		if l := picks[m.wishMode[i]]; !e.Holds(l) && !e.Fails(l) {
			return l, true
		}
	}
	for _, l := range picks {
		if !e.Holds(l) && !e.Fails(l) {
			return l, true
		}
	}
	return lcg.Lit{}, false
}

// wishFor makes decide follow a schedule's order and modes.
func (m *model) wishFor(s *Schedule) {
	if len(s.Start) != len(m.start) {
		return
	}
	m.wish = make([]int32, len(m.start))
	for i, t := range s.Start {
		m.wish[i] = int32(max(t, -maxTime))
	}
	if len(s.Mode) != len(m.start) {
		return
	}
	m.wishMode = make([]int32, len(m.start))
	for i, k := range s.Mode {
		if k >= 0 && k < len(m.pick[i]) {
			m.wishMode[i] = int32(k)
		}
	}
}

// pin lists assumptions that fix a schedule, starts and modes.
func (m *model) pin(s *Schedule) []lcg.Lit {
	var out []lcg.Lit
	for i, v := range m.start {
		if i < len(s.Mode) && s.Mode[i] >= 0 && s.Mode[i] < len(m.pick[i]) {
			out = append(out, m.pick[i][s.Mode[i]])
		}
		if i < len(s.Start) && s.Start[i] >= 0 && s.Start[i] < maxTime {
			t := int32(s.Start[i])
			out = append(out, lcg.AtLeast(v, t), lcg.AtMost(v, t))
		}
	}
	return out
}

// read takes the schedule from an engine that has just solved.
func (m *model) read() Schedule {
	s := Schedule{Start: make([]int, len(m.start)), Mode: make([]int, len(m.start))}
	for i, v := range m.start {
		s.Start[i] = int(m.e.Lo(v))
		for k, l := range m.pick[i] {
			if m.e.Holds(l) {
				s.Mode[i] = k
				break
			}
		}
	}
	return s
}
