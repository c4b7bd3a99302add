package plan

import (
	"cmp"
	"context"
	"math/rand/v2"
	"slices"

	"shedbell/line"
)

// orders splits the jobs into those that go on already, those that wait, and the
// chores that come after them.
func (m *Model) orders() (before, waiting, after []int) {
	var going []int
	for j := range m.jobs {
		jb := &m.jobs[j]
		switch {
		case len(jb.stages) == 0:
		case jb.batch == 0 && jb.stages[0].at != line.Nowhere:
			before = append(before, j)
		case jb.batch == 0:
			after = append(after, j)
		case jb.stages[0].at != line.Nowhere:
			going = append(going, j)
		default:
			waiting = append(waiting, j)
		}
	}
	return append(before, going...), waiting, after
}

// dueFirst is the order of the prompts without a plan: who has a due time, then the
// order of the day sheet.
func (m *Model) dueFirst(waiting []int) []int {
	out := slices.Clone(waiting)
	slices.SortStableFunc(out, func(a, b int) int {
		da, db := m.jobs[a].due, m.jobs[b].due
		if da == none {
			da = farAway
		}
		if db == none {
			db = farAway
		}
		return cmp.Compare(da, db)
	})
	return out
}

// finder improves an order of the waiting batches by moving one or exchanging two.
type finder struct {
	m                      *Model
	p                      *placer
	before, waiting, after []int
	rnd                    *rand.Rand
	best                   *schedule
	order                  []int
	later                  int // of placer.build, with which the best was found
	most                   int // the largest that can work
}

func newFinder(m *Model, seed uint64) *finder {
	f := &finder{m: m, p: newPlacer(m), rnd: rand.New(rand.NewPCG(seed, 0x0de7))}
	f.before, f.waiting, f.after = m.orders()
	for _, i := range m.site.StationsOf(line.Dry) {
		f.most += len(m.slots[i])
	}
	f.most = max(0, min(f.most-1, mostLater))
	return f
}

const mostLater = 3

// consider places the waiting batches in an order, and keeps it if it is better.
func (f *finder) consider(order []int, later int) bool {
	s := f.p.build(f.before, order, f.after, later)
	if s == nil || f.m.strict && !f.m.fansAgree(s) || f.best != nil && s.values.compare(f.best.values) >= 0 {
		return false
	}
	f.best, f.order, f.later = s, slices.Clone(order), later
	return true
}

// considerAll does so for every way of putting off the packing.
func (f *finder) considerAll(order []int) {
	for later := range f.most + 1 {
		f.consider(order, later)
	}
}

// first tries the orders that come to mind: as the prompts have it, the long ways
// first, the short ones first.
func (f *finder) first() {
	plain := f.m.dueFirst(f.waiting)
	f.considerAll(plain)
	for i := range plain { // one that agrees with the fans may have to go first
		if !f.m.strict || f.best != nil {
			break
		}
		f.considerAll(slices.Concat(plain[i:i+1], plain[:i], plain[i+1:]))
	}
	tail := func(j int) int {
		n := 0
		for k := range f.m.jobs[j].stages {
			if st := &f.m.jobs[j].stages[k]; st.kind != line.Cut {
				n += st.run
				for _, o := range st.work {
					n += f.m.ops[o].dur
				}
			}
		}
		return n
	}
	for _, sign := range []int{-1, 1} {
		o := slices.Clone(f.waiting)
		slices.SortStableFunc(o, func(a, b int) int { return sign * cmp.Compare(tail(a), tail(b)) })
		f.considerAll(o)
		slices.SortStableFunc(o, func(a, b int) int {
			return cmp.Compare(boolInt(f.m.jobs[a].due == none), boolInt(f.m.jobs[b].due == none))
		})
		f.considerAll(o)
	}
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// improve tries so many changes of the best order.
func (f *finder) improve(ctx context.Context, tries int) {
	n := len(f.waiting)
	if f.best == nil || n < 2 {
		return
	}
	for range tries {
		if ctx.Err() != nil {
			return
		}
		o := slices.Clone(f.order)
		i, k := f.rnd.IntN(n), f.rnd.IntN(n)
		if f.rnd.IntN(2) == 0 {
			o[i], o[k] = o[k], o[i]
		} else {
			x := o[i]
			o = slices.Insert(slices.Delete(o, i, i+1), k, x)
		}
		later := f.later
		if f.rnd.IntN(4) == 0 {
			later = f.rnd.IntN(f.most + 1)
		}
		f.consider(o, later)
	}
}
