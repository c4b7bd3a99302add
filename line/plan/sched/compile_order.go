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

// decide starts the open activity that can start earliest, at once. Modes are
// settled first, towards the remembered choice.
func (m *model) decide(e *lcg.Engine) (lcg.Lit, bool) {
	best, bestLo, bestHi := int32(-1), int32(0), int32(0)
	for _, i := range m.order {
		s := m.start[i]
		if e.Fixed(s) {
			continue
		}
		lo, hi := e.Lo(s), e.Hi(s)
		if best < 0 || lo < bestLo || lo == bestLo && hi < bestHi {
			best, bestLo, bestHi = i, lo, hi
		}
	}
	for i := range m.pick {
		if best >= 0 && e.Lo(m.start[i]) > bestLo {
			continue
		}
		for _, l := range m.pick[i] {
			if !e.Holds(l) && !e.Fails(l) {
				return l, true
			}
		}
	}
	if best >= 0 {
		return lcg.AtMost(m.start[best], bestLo), true
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
