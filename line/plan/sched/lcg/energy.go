package lcg

import "slices"

// energy finds stretches of time in which the tasks of a cumulative
// constraint need more energy (units times time) than there is: time-table
// edge-finding (Vilim 2011), explained as by Schutt, Feydy and Stuckey,
// "Explaining time-table-edge-finding propagation for the cumulative resource
// constraint", CPAIOR 2013.
type energy struct {
	c *cumulative
	// free are the tasks whose certain part does not cover all of them.
	byRelease, byDue []int32
	est, due, key    []int32
	spare            []int32 // duration outside the certain part
	after            []int64 // certain energy at and after each segment's start
	need             []int32
	order            []int32
}

func (c *cumulative) addEnergy(e *Engine, wakes []int32) {
	n := len(c.tasks)
	p := &energy{c: c, est: make([]int32, n), due: make([]int32, n), key: make([]int32, n),
		spare: make([]int32, n), need: make([]int32, n)}
	e.addSlowPropagator(p, wakes...)
}

// prepare computes certain parts, free parts and the energy to the right of
// each instant.
func (p *energy) prepare(e *Engine) {
	c := p.c
	c.certainParts(e)
	if c.grouped {
		c.buildGrouped()
	} else {
		c.buildProfile()
	}
	p.byRelease = p.byRelease[:0]
	for i := range c.tasks {
		t := &c.tasks[i]
		if t.Start != t.End || t.Group != 0 || !e.Holds(t.Present) {
			continue
		}
		p.est[i], p.due[i] = t.est(e), t.let(e)
		p.spare[i] = t.EndGap - t.StartGap - max(0, c.to[i]-c.from[i])
		if p.spare[i] > 0 {
			p.byRelease = append(p.byRelease, int32(i))
		}
	}
	p.byDue = append(p.byDue[:0], p.byRelease...)
	slices.SortFunc(p.byRelease, func(a, b int32) int { return int(p.est[b] - p.est[a]) })
	slices.SortFunc(p.byDue, func(a, b int32) int { return int(p.due[b] - p.due[a]) })
	n := len(c.profile)
	p.after = slices.Grow(p.after[:0], n+1)[:n+1]
	p.after[n] = 0
	for k := n - 1; k >= 0; k-- {
		s := &c.profile[k]
		p.after[k] = p.after[k+1] + int64(s.height)*int64(s.to-s.from)
	}
}

// certainAfter is the certain energy at and after an instant.
func (p *energy) certainAfter(at int32) int64 {
	k := p.c.firstEndingAfter(at)
	if k == len(p.c.profile) {
		return 0
	}
	s := &p.c.profile[k]
	out := p.after[k]
	if at > s.from {
		out -= int64(s.height) * int64(at-s.from)
	}
	return out
}

func (p *energy) propagate(e *Engine) bool {
	p.prepare(e)
	c := p.c
	capacity := int64(c.capacity)
	for _, i := range p.byRelease {
		p.key[i] = 0
	}
	last := int32(-1)
	for _, y := range p.byDue {
		to := p.due[y]
		if to == last {
			continue
		}
		last = to
		afterTo := p.certainAfter(to)
		sum := int64(0)
		k := len(c.profile)
		for _, x := range p.byRelease {
			from := p.est[x]
			if from >= to {
				continue
			}
			t := &c.tasks[x]
			if p.due[x] <= to {
				sum += int64(t.Demand) * int64(p.spare[x])
			} else if in := to - max(c.from[x], c.to[x], t.lst(e)); in > 0 {
				sum += int64(t.Demand) * int64(in)
			}
			for k > 0 && c.profile[k-1].to > from {
				k--
			}
			certain := -afterTo
			if k < len(c.profile) {
				certain += p.after[k]
				if s := &c.profile[k]; from > s.from {
					certain -= int64(s.height) * int64(from-s.from)
				}
			}
			if sum+certain > capacity*int64(to-from) {
				p.blame(e, from, to, -1, capacity*int64(to-from))
				return e.fail(c.why)
			}
		}
	}
	return true
}

// blame puts into c.why bounds that force more than limit units of energy of
// tasks other than skip into [from, to).
func (p *energy) blame(e *Engine, from, to, skip int32, limit int64) {
	c := p.c
	c.why = c.why[:0]
	total := int64(0)
	p.order = p.order[:0]
	for i := range c.tasks {
		p.need[i] = 0
		t := &c.tasks[i]
		if int32(i) == skip || t.Group != 0 || !e.Holds(t.Present) {
			continue
		}
		var m int32
		if t.Start == t.End {
			m = min(t.EndGap-t.StartGap, to-from, t.eet(e)-from, to-t.lst(e))
		} else {
			m = min(c.to[i], to) - max(c.from[i], from)
		}
		if m > 0 {
			p.need[i] = m
			p.order = append(p.order, int32(i))
			total += int64(m) * int64(t.Demand)
		}
	}
	spare := total - limit - 1
	// Give up small contributions first, to blame few tasks.
	slices.SortStableFunc(p.order, func(a, b int32) int {
		return int(int64(p.need[a])*int64(c.tasks[a].Demand) - int64(p.need[b])*int64(c.tasks[b].Demand))
	})
	for _, i := range p.order {
		t := &c.tasks[i]
		m := p.need[i]
		if work := int64(m) * int64(t.Demand); work <= spare {
			spare -= work
			continue
		}
		if t.Start == t.End {
			if step := int32(spare / int64(t.Demand)); step > 0 {
				m -= step
				spare -= int64(step) * int64(t.Demand)
			}
			c.why = append(c.why, t.startsBy(to-m), t.endsAfter(from+m-1))
		} else {
			c.why = append(c.why, t.startsBy(max(c.from[i], from)), t.endsAfter(min(c.to[i], to)-1))
		}
		if t.Present != Always {
			c.why = append(c.why, t.Present)
		}
	}
}
