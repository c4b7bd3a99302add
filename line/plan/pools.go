package plan

import (
	"cmp"
	"slices"

	"shedbell/line/plan/sched"
)

// trays is how many trays an op takes or makes ready.
func (m *Model) trays(s *schedule, a amount) int {
	if a.by == none {
		return a.n
	}
	return s.size[a.by]
}

// mostTrays is how many trays an op can take or make ready.
func (m *Model) mostTrays(a amount) int {
	if a.by == none {
		return a.n
	}
	return slices.Max(m.ops[a.by].sizes)
}

// ready is when so many trays of a pool are there, those taken counted in; farAway
// if they never are.
func (m *Model) ready(s *schedule, pool, n int) int {
	p := &m.pools[pool]
	if n -= p.have; n <= 0 {
		return 0
	}
	return firstWith(p.adds, n, func(a amount) (at, trays int) { return m.finishOf(s, a.op), m.trays(s, a) })
}

// firstWith is the first instant at which what has come by then adds up to n.
func firstWith(adds []amount, n int, of func(amount) (at, trays int)) int {
	type arrival struct{ at, trays int }
	all := make([]arrival, 0, len(adds))
	for _, a := range adds {
		at, trays := of(a)
		all = append(all, arrival{at, trays})
	}
	slices.SortFunc(all, func(a, b arrival) int { return cmp.Compare(a.at, b.at) })
	for _, a := range all {
		if n -= a.trays; n <= 0 {
			return a.at
		}
	}
	return farAway
}

// mostApart is all trays for the optional turn of sanitizing, as a number of shares.
const mostApart = 4

// share gives the turns of sanitizing their trays: the optional one so many shares of
// what it holds, the others as many as they hold. What the turns had in a plan that is to
// be kept they keep, if it adds up.
func (m *Model) share(s *schedule, apart int, kept map[int]int) {
	left := m.pools[washedTrays].all()
	sum := left
	for _, n := range kept {
		sum -= n
	}
	turns := m.pools[washedTrays].takes
	for i, a := range turns {
		if a.by == none {
			continue
		}
		sizes := m.ops[a.by].sizes
		n := min(left, slices.Max(sizes))
		if m.ops[a.by].optional {
			for want := n * apart / mostApart; !slices.Contains(sizes, n) || n > want; {
				n--
			}
		}
		if sum == 0 && slices.Contains(sizes, kept[a.by]) {
			n = kept[a.by]
		}
		if i == len(turns)-1 && slices.Contains(sizes, left) {
			n = left
		}
		if n == 0 && m.ops[a.by].optional {
			s.skip[a.by], s.skip[m.jobs[m.ops[a.by].job].end()] = true, true
		}
		s.size[a.by] = n
		left -= n
	}
}

// addPools lets the solver see the trays: a pool's units are taken from now until an
// op has made them ready, and again from when an op takes them until the end.
func (p *problem) addPools() {
	m := p.m
	for i := range m.pools {
		if len(m.pools[i].takes) == 0 || len(m.pools[i].adds) == 0 {
			continue
		}
		res := len(p.out.Resources)
		p.out.Resources = append(p.out.Resources, sched.Resource{Name: "trays", Capacity: m.pools[i].have})
		for _, a := range m.pools[i].adds {
			p.readies(a, res)
		}
		for _, a := range m.pools[i].takes {
			if a.by == none {
				p.hold("trays", sched.StartOf(a.op), sched.StartOf(p.end), sched.Use(res, a.n))
				continue
			}
			for mode, n := range m.ops[a.by].sizes {
				p.holdTrays(a.by, mode, sched.StartOf(a.op), sched.Use(res, n))
			}
		}
	}
}

// readies takes what an op can make ready at most until then, and what it does not
// make ready until the end.
func (p *problem) readies(a amount, res int) {
	most := p.m.mostTrays(a)
	p.out.Resources[res].Capacity += most
	p.hold("trays", sched.StartOf(p.now), sched.FinishOf(a.op), sched.Use(res, most))
	if a.by == none {
		return
	}
	for mode, n := range p.m.ops[a.by].sizes {
		p.holdTrays(a.by, mode, sched.FinishOf(a.op), sched.Use(res, most-n))
	}
}

func (p *problem) holdTrays(op, mode int, from sched.Point, d sched.Demand) {
	if d.Units > 0 {
		p.holdWhen(&sched.Choice{Activity: op, Mode: mode}, "trays", from, sched.StartOf(p.end), d)
	}
}
