package lcg

// Task is a use of a cumulative resource from Start+StartGap to End+EndGap.
type Task struct {
	Start, End       Var
	StartGap, EndGap int32
	Demand           int32
	// Present says whether the use happens at all; Always if it must.
	Present Lit
	// Group, if not 0, names tasks that count once, with their largest demand.
	Group int32
}

// segment is a stretch of constant demand in a profile.
type segment struct{ from, to, height int32 }

// cumulative keeps the demand of tasks within capacity by time-tabling: where
// a task must run whatever happens (from its latest start to its earliest
// end), its demand is certain.
type cumulative struct {
	tasks    []Task
	capacity int32
	grouped  bool
	minUse   int32

	byStart, byEnd []int32 // task order by start and end of the certain part
	from, to       []int32 // certain part per task, empty if from >= to
	profile        []segment
	cuts, peak     []int32 // scratch for groups
	why            []Lit
	blamed         []int32
}

// AddCumulative posts that the tasks never need more than capacity together.
func (e *Engine) AddCumulative(tasks []Task, capacity int32) {
	c := &cumulative{capacity: capacity, minUse: capacity + 1}
	var wakes []int32
	seen := map[int32]bool{}
	for _, t := range tasks {
		if t.Demand <= 0 {
			continue
		}
		c.tasks = append(c.tasks, t)
		c.grouped = c.grouped || t.Group != 0
		c.minUse = min(c.minUse, t.Demand)
		for _, b := range [...]int32{int32(t.Start)*2 + 1, int32(t.End) * 2, int32(t.Start) * 2, int32(t.End)*2 + 1, t.Present.B} {
			if !seen[b] {
				seen[b] = true
				wakes = append(wakes, b)
			}
		}
	}
	c.peak = make([]int32, c.numberGroups()+1)
	for i := range c.tasks {
		c.byStart = append(c.byStart, int32(i))
		c.byEnd = append(c.byEnd, int32(i))
	}
	c.from = make([]int32, len(c.tasks))
	c.to = make([]int32, len(c.tasks))
	e.addPropagator(c, wakes...)
	c.addEnergy(e, wakes)
}

// numberGroups renames groups to 1, 2, ... and returns how many there are.
func (c *cumulative) numberGroups() int {
	names := map[int32]int32{}
	for i := range c.tasks {
		if g := c.tasks[i].Group; g != 0 {
			if names[g] == 0 {
				names[g] = int32(len(names) + 1)
			}
			c.tasks[i].Group = names[g]
		}
	}
	return len(names)
}

func (t *Task) est(e *Engine) int32 { return e.lo[2*t.Start] + t.StartGap }
func (t *Task) lst(e *Engine) int32 { return t.StartGap - e.lo[2*t.Start+1] }
func (t *Task) eet(e *Engine) int32 { return e.lo[2*t.End] + t.EndGap }
func (t *Task) let(e *Engine) int32 { return t.EndGap - e.lo[2*t.End+1] }

// startsBy and endsAfter are the literals start <= at and end > at.
func (t *Task) startsBy(at int32) Lit  { return AtMost(t.Start, at-t.StartGap) }
func (t *Task) endsAfter(at int32) Lit { return AtLeast(t.End, at+1-t.EndGap) }

func (c *cumulative) propagate(e *Engine) bool {
	c.certainParts(e)
	if c.grouped {
		c.buildGrouped()
	} else {
		c.buildProfile()
	}
	highest := int32(0)
	for _, s := range c.profile {
		if s.height > c.capacity {
			at := (s.from + s.to - 1) / 2
			c.blame(e, at, -1, c.capacity)
			return e.fail(c.why)
		}
		highest = max(highest, s.height)
	}
	if highest+c.minUse <= c.capacity || highest == 0 {
		return true
	}
	for i := range c.tasks {
		t := &c.tasks[i]
		if highest+t.Demand <= c.capacity {
			continue
		}
		if !e.Holds(t.Present) {
			if !e.Fails(t.Present) && !c.refutePresence(e, int32(i)) {
				return false
			}
			continue
		}
		if t.est(e) == t.lst(e) && t.eet(e) == t.let(e) {
			continue
		}
		if !c.raiseStart(e, int32(i)) || !c.lowerEnd(e, int32(i)) {
			return false
		}
	}
	return true
}

// certainParts computes where each task must run.
func (c *cumulative) certainParts(e *Engine) {
	for i := range c.tasks {
		t := &c.tasks[i]
		c.from[i], c.to[i] = t.lst(e), t.eet(e)
		if t.Present != Always && !e.Holds(t.Present) {
			c.to[i] = c.from[i]
		}
	}
}

// insertionSort orders task indices by key; they are nearly sorted already.
func insertionSort(order, key []int32) {
	for i := 1; i < len(order); i++ {
		t := order[i]
		k := key[t]
		j := i
		for ; j > 0 && key[order[j-1]] > k; j-- {
			order[j] = order[j-1]
		}
		order[j] = t
	}
}

// buildProfile sweeps the certain parts into segments.
func (c *cumulative) buildProfile() {
	insertionSort(c.byStart, c.from)
	insertionSort(c.byEnd, c.to)
	c.profile = c.profile[:0]
	n := len(c.tasks)
	height, last := int32(0), int32(0)
	i, j := 0, 0
	for {
		for i < n && c.from[c.byStart[i]] >= c.to[c.byStart[i]] {
			i++
		}
		for j < n && c.from[c.byEnd[j]] >= c.to[c.byEnd[j]] {
			j++
		}
		if j >= n {
			return
		}
		at := c.to[c.byEnd[j]]
		if i < n && c.from[c.byStart[i]] < at {
			at = c.from[c.byStart[i]]
		}
		if height > 0 && last < at {
			c.profile = append(c.profile, segment{last, at, height})
		}
		last = at
		for ; i < n && c.from[c.byStart[i]] <= at; i++ {
			if t := c.byStart[i]; c.from[t] < c.to[t] {
				height += c.tasks[t].Demand
			}
		}
		for ; j < n && c.to[c.byEnd[j]] <= at; j++ {
			if t := c.byEnd[j]; c.from[t] < c.to[t] {
				height -= c.tasks[t].Demand
			}
		}
	}
}

// raiseStart moves a task's earliest start past segments it does not fit into.
func (c *cumulative) raiseStart(e *Engine, i int32) bool {
	t := &c.tasks[i]
	est, lst := t.est(e), t.lst(e)
	for s := c.firstEndingAfter(est); s < len(c.profile); s++ {
		seg := &c.profile[s]
		if seg.from >= min(t.eet(e), lst) {
			return true
		}
		if !c.clashes(i, seg) || seg.to <= est {
			continue
		}
		for est < seg.to {
			at := min(seg.to, t.eet(e)) - 1
			if !c.push(e, i, at, t.endsAfter(at), t.startsBy(at).Not()) {
				return false
			}
			est = t.est(e)
			if t.Start != t.End {
				break // the end follows by its own constraints
			}
		}
		lst = t.lst(e)
	}
	return true
}

// lowerEnd is raiseStart seen from the other end of time.
func (c *cumulative) lowerEnd(e *Engine, i int32) bool {
	t := &c.tasks[i]
	let, eet := t.let(e), t.eet(e)
	for s := c.lastStartingBefore(let); s >= 0; s-- {
		seg := &c.profile[s]
		if seg.to <= max(t.lst(e), eet) {
			return true
		}
		if !c.clashes(i, seg) || seg.from >= let {
			continue
		}
		for let > seg.from {
			at := max(seg.from, t.lst(e))
			if !c.push(e, i, at, t.startsBy(at), t.endsAfter(at).Not()) {
				return false
			}
			let = t.let(e)
			if t.Start != t.End {
				break
			}
		}
		eet = t.eet(e)
	}
	return true
}

// clashes tells whether task i does not fit beside a segment that its own
// certain part has no share in.
func (c *cumulative) clashes(i int32, seg *segment) bool {
	t := &c.tasks[i]
	if t.Group == 0 {
		return seg.height+t.Demand > c.capacity
	}
	on := c.groupDemand(t.Group, seg.from, i)
	return t.Demand > on && seg.height-on+t.Demand > c.capacity
}

// firstEndingAfter is the first segment with to > at.
func (c *cumulative) firstEndingAfter(at int32) int {
	lo, hi := 0, len(c.profile)
	for lo < hi {
		m := (lo + hi) / 2
		if c.profile[m].to > at {
			hi = m
		} else {
			lo = m + 1
		}
	}
	return lo
}

// lastStartingBefore is the last segment with from < at, -1 if none.
func (c *cumulative) lastStartingBefore(at int32) int {
	lo, hi := 0, len(c.profile)
	for lo < hi {
		m := (lo + hi) / 2
		if c.profile[m].from < at {
			lo = m + 1
		} else {
			hi = m
		}
	}
	return lo - 1
}

// push moves a task past an instant at which the others leave no room for it: because
// of where it lies now, then it lies beyond.
func (c *cumulative) push(e *Engine, i int32, at int32, because, then Lit) bool {
	t := &c.tasks[i]
	c.blame(e, at, i, c.capacity-t.Demand)
	c.why = append(c.why, because)
	if t.Present != Always {
		c.why = append(c.why, t.Present)
	}
	return e.set(then.B, then.K, e.record(c.why))
}
