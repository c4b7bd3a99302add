package lcg

import "slices"

// blame puts into c.why bounds that make tasks other than skip run at the
// instant at with more than threshold units together (Schutt, Feydy, Stuckey
// and Wallace, "Explaining the cumulative propagator", Constraints 16, 2011:
// pointwise explanations).
func (c *cumulative) blame(e *Engine, at, skip, threshold int32) {
	c.why = c.why[:0]
	c.blamed = c.blamed[:0]
	group := int32(0)
	if skip >= 0 {
		group = c.tasks[skip].Group
	}
	sum := int32(0)
	for i := range c.tasks {
		if c.from[i] > at || at >= c.to[i] || int32(i) == skip {
			continue
		}
		g := c.tasks[i].Group
		if g != 0 && (g == group || c.groupLeader(g, at) != int32(i)) {
			continue
		}
		c.blamed = append(c.blamed, int32(i))
		sum += c.tasks[i].Demand
	}
	spare := sum - threshold - 1
	for _, i := range c.blamed {
		t := &c.tasks[i]
		starts, ends := t.startsBy(at), t.endsAfter(at)
		free := e.root[starts.B] >= starts.K && e.root[ends.B] >= ends.K && t.Present == Always
		if !free && t.Demand <= spare {
			spare -= t.Demand
			continue
		}
		if free {
			continue
		}
		c.why = append(c.why, starts, ends)
		if t.Present != Always {
			c.why = append(c.why, t.Present)
		}
	}
}

// groupLeader is the first task of the largest demand among a group's tasks
// that certainly run at an instant.
func (c *cumulative) groupLeader(group, at int32) int32 {
	best := int32(-1)
	for i := range c.tasks {
		if c.tasks[i].Group == group && c.from[i] <= at && at < c.to[i] &&
			(best < 0 || c.tasks[i].Demand > c.tasks[best].Demand) {
			best = int32(i)
		}
	}
	return best
}

// groupDemand is the demand of a group at an instant, without one task.
func (c *cumulative) groupDemand(group, at, without int32) int32 {
	most := int32(0)
	for i := range c.tasks {
		if c.tasks[i].Group == group && int32(i) != without && c.from[i] <= at && at < c.to[i] {
			most = max(most, c.tasks[i].Demand)
		}
	}
	return most
}

// buildGrouped computes the profile where groups count once.
func (c *cumulative) buildGrouped() {
	c.profile = c.profile[:0]
	c.cuts = c.cuts[:0]
	for i := range c.tasks {
		if c.from[i] < c.to[i] {
			c.cuts = append(c.cuts, c.from[i], c.to[i])
		}
	}
	slices.Sort(c.cuts)
	c.cuts = slices.Compact(c.cuts)
	for k := 0; k+1 < len(c.cuts); k++ {
		at, height := c.cuts[k], int32(0)
		clear(c.peak)
		for i := range c.tasks {
			if c.from[i] > at || at >= c.to[i] {
				continue
			}
			d, g := c.tasks[i].Demand, c.tasks[i].Group
			if g == 0 {
				height += d
			} else if d > c.peak[g] {
				height += d - c.peak[g]
				c.peak[g] = d
			}
		}
		if height > 0 {
			c.profile = append(c.profile, segment{at, c.cuts[k+1], height})
		}
	}
}

// refutePresence rules an undecided task out if the part of it that would be
// certain does not fit.
func (c *cumulative) refutePresence(e *Engine, i int32) bool {
	t := &c.tasks[i]
	lst, eet := t.lst(e), t.eet(e)
	if lst >= eet {
		return true
	}
	for s := c.firstEndingAfter(lst); s < len(c.profile) && c.profile[s].from < eet; s++ {
		if !c.clashes(i, &c.profile[s]) {
			continue
		}
		at := max(lst, c.profile[s].from)
		c.blame(e, at, i, c.capacity-t.Demand)
		c.why = append(c.why, t.startsBy(at), t.endsAfter(at))
		n := t.Present.Not()
		return e.set(n.B, n.K, e.record(c.why))
	}
	return true
}
