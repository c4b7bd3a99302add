package plan

import (
	"cmp"
	"slices"

	"shedbell/line"
)

// load is work for a resource that cannot begin before head and after which the day
// goes on for at least tail.
type load struct{ head, long, tail int }

// lowBound is an end of the day that no plan can beat, found without search: the
// longest way and, for each place and for the hands, the work that has to pass
// through, with the least time before and after it (Carlier's bound for one
// machine; divided by the places or people where there are several).
func (m *Model) lowBound() int {
	head, tail := m.ways()
	bound := 0
	for o := range m.ops {
		bound = max(bound, head[o]+m.least(o)+tail[o])
	}
	for j := range m.jobs {
		bound = max(bound, m.shortest(j))
	}
	var hands []load
	for o := range m.ops {
		hands = append(hands, load{head[o], m.least(o), tail[o]})
	}
	changes := m.fewestChanges()
	for kind, stays := range m.stays(head, tail) {
		places := 0
		for i := range m.site.Stations {
			if m.site.Stations[i].Kind == line.Kind(kind) {
				places += len(m.slots[i])
			}
		}
		if line.Kind(kind) == line.Wash && len(changes) > 0 && len(stays) > 0 {
			c, work := m.changeLoads(changes, stays)
			hands = append(hands, work...)
			if places == 1 {
				stays = append(stays, c...)
			}
		}
		bound = max(bound, through(stays, max(1, places)))
	}
	return max(bound, through(hands, m.crew))
}

// ways is the least time from now to each op's start, and from its finish to the
// end of the day.
func (m *Model) ways() (head, tail []int) {
	head, tail = make([]int, len(m.ops)), make([]int, len(m.ops))
	walk := make([][]step, len(m.jobs))
	for j := range m.jobs { // links point to later jobs only
		walk[j] = m.sequence(j)
		t := 0
		for _, s := range walk[j] {
			t += s.gap
			t = max(t, m.headFrom(s.op, head))
			head[s.op] = t
			t += m.least(s.op)
		}
	}
	for j := len(m.jobs) - 1; j >= 0; j-- {
		t := 0
		for i := len(walk[j]) - 1; i >= 0; i-- {
			o := walk[j][i].op
			t = max(t, m.tailFrom(o, tail))
			tail[o] = t
			t += m.least(o) + walk[j][i].gap
		}
	}
	return head, tail
}

// headFrom is how early an op can begin by what other jobs have to do first.
func (m *Model) headFrom(o int, head []int) int {
	t := 0
	for _, l := range m.links {
		if l.to == o {
			t = max(t, head[l.from]+m.least(l.from))
		}
	}
	for _, l := range m.starts {
		if l.to == o {
			t = max(t, head[l.from])
		}
	}
	for i := range m.pools {
		p := &m.pools[i]
		need := -p.have
		for _, a := range p.takes { // they begin in this order
			if need += a.n; a.by != none {
				break
			}
			if a.op == o && need > 0 {
				t = max(t, firstWith(p.adds, need, func(b amount) (int, int) { return head[b.op] + m.least(b.op), m.mostTrays(b) }))
			}
		}
	}
	return t
}

// tailFrom is how long the day goes on after an op at least by what other jobs have to
// do then: among the takers of trays, those for whom there are not enough without it.
func (m *Model) tailFrom(o int, tail []int) int {
	t := 0
	for _, l := range m.links {
		if l.from == o {
			t = max(t, m.least(l.to)+tail[l.to])
		}
	}
	for _, l := range m.starts {
		if l.from == o {
			t = max(t, m.least(l.to)+tail[l.to]-m.least(o))
		}
	}
	if washes := m.pools[dirtyTrays].takes; len(washes) > 0 && washes[0].op == o {
		t = max(t, m.turnsAtLeast()-m.least(o))
	}
	for i := range m.pools {
		p := &m.pools[i]
		mine := slices.IndexFunc(p.adds, func(a amount) bool { return a.op == o })
		if mine < 0 || p.adds[mine].by != none {
			continue
		}
		left := p.have - p.adds[mine].n
		for _, a := range p.adds {
			left += m.mostTrays(a)
		}
		for _, a := range p.takes { // they begin in this order
			if left -= a.n; a.by == none && left < 0 {
				t = max(t, m.least(a.op)+tail[a.op])
			}
		}
		if last := len(p.takes) - 1; left < 0 || last >= 0 && p.takes[last].by != none {
			least := farAway
			for _, a := range p.takes {
				least = min(least, m.least(a.op)+tail[a.op])
			}
			t = max(t, least)
		}
	}
	return t
}

// turnsAtLeast is how long it takes at least from the first tray's washing until all
// are sown, where the sanitizing between is shared out among several turns: after the
// first of them all trays have to be sown, and after the last washing is over comes the
// last turn, and the sowing of what it has. 0 where nothing is known.
func (m *Model) turnsAtLeast() int {
	turns := m.pools[washedTrays].takes
	if len(turns) < 2 || turns[0].by == none || m.pools[washedTrays].have > 0 || m.pools[cleanTrays].have > 0 {
		return 0
	}
	j := &m.jobs[m.ops[turns[1].op].job]
	turn := m.least(j.stages[0].in) + j.stages[0].run + m.least(j.end())
	wash, sow := m.workOf(dirtyTrays), m.workOf(cleanTrays)
	all, most, best := m.pools[washedTrays].all(), m.mostTrays(turns[1]), farAway
	for last := range most + 1 {
		first := max(0, all-last-(len(turns)-2)*most)
		then := wash + turn + sow*last/all
		if last < all {
			then = max(then, wash*first/all+turn+sow)
		}
		if first <= most {
			best = min(best, then)
		}
	}
	return best
}

// workOf is how long it takes at least to do what a pool's trays are taken for.
func (m *Model) workOf(pool int) int {
	sum, lanes := 0, 1
	for _, a := range m.pools[pool].takes {
		places := 0
		for _, i := range m.jobs[m.ops[a.op].job].stages[0].stations {
			places += len(m.slots[i])
		}
		sum += m.least(a.op)
		lanes = max(lanes, min(places, m.crew))
	}
	return sum / lanes
}

// step is an op and the countdown that runs before it.
type step struct{ op, gap int }

// sequence is a job's ops one after the other.
func (m *Model) sequence(j int) []step {
	var out []step
	gap := 0
	add := func(o int) {
		if o != none {
			out = append(out, step{o, gap})
			gap = 0
		}
	}
	for k := range m.jobs[j].stages {
		st := &m.jobs[j].stages[k]
		add(st.in)
		for _, o := range st.work {
			add(o)
		}
		gap += st.run
		add(st.out)
	}
	return out
}

// stays lists, per kind of station, how long each batch that still has to come keeps
// its place there.
func (m *Model) stays(head, tail []int) [][]load {
	out := make([][]load, len(line.Kinds()))
	for j := range m.jobs {
		jb := &m.jobs[j]
		for k := range jb.stages {
			st := &jb.stages[k]
			first := st.first()
			free, atFinish := jb.slotFree(k)
			if first == none || st.kind == line.Chill || free == none {
				continue
			}
			after := tail[free] + m.least(free)
			if atFinish {
				after = tail[free]
			}
			out[st.kind] = append(out[st.kind], load{head[first], m.between(j, first, free, atFinish), after})
		}
	}
	return out
}

// between is the least time from an op's start to another's start or finish in the
// same job; links may make heads further apart than that.
func (m *Model) between(j, from, to int, atFinish bool) int {
	t, on := 0, false
	for _, s := range m.sequence(j) {
		if s.op == from {
			on = true
		} else if on {
			t += s.gap
		}
		if !on {
			continue
		}
		if s.op == to && !atFinish {
			break
		}
		t += m.least(s.op)
		if s.op == to {
			break
		}
	}
	return t
}

// changeLoads is what changing the water asks of the tub and of the hands. Each
// change that is needed comes before one of the washes and, if the water is fresh
// now, after another.
func (m *Model) changeLoads(changes []change, washes []load) (tub, hands []load) {
	t := &m.tubs[changes[0].station]
	head, tail := farAway, farAway
	for _, w := range washes {
		head, tail = min(head, w.head+w.long), min(tail, w.long+w.tail)
	}
	if t.batches > 0 {
		head = 0
	}
	for range changes {
		tub = append(tub, load{head, t.drain + t.run + t.refill, tail})
		hands = append(hands, load{head, t.drain, t.run + t.refill + tail}, load{head + t.drain + t.run, t.refill, tail})
	}
	return tub, hands
}

// through is the least end of work that passes through so many places: over all
// sets of loads with heads and tails above some value, the least head, the work
// shared out evenly, and the least tail.
func through(loads []load, places int) int {
	slices.SortFunc(loads, func(a, b load) int { return -cmp.Compare(a.tail, b.tail) })
	heads := map[int]bool{}
	for _, l := range loads {
		heads[l.head] = true
	}
	bound := 0
	for from := range heads {
		sum := 0
		for _, l := range loads {
			if l.head >= from && l.long > 0 {
				sum += l.long
				bound = max(bound, from+(sum+places-1)/places+l.tail)
			}
		}
	}
	return bound
}
