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

// orderSearch improves an order of the waiting batches by moving one or exchanging two.
type orderSearch struct {
	m                      *Model
	p                      *placer
	before, waiting, after []int
	rnd                    *rand.Rand
	fans                   [][]int // settings that draft.fans may begin with
	best                   *schedule
	from                   draft // what the best was built from
	mostLater              int   // the largest draft.later that can work
	stands, turns          bool  // there is something to choose for draft.stand, for draft.apart
}

// draft is what a schedule is built from.
type draft struct {
	order []int
	later int   // of placer.build
	stand bool  // placer.stand
	apart int   // placer.apart
	fans  []int // placer.prefer
}

func newOrderSearch(m *Model, seed uint64) *orderSearch {
	f := &orderSearch{m: m, p: newPlacer(m), rnd: rand.New(rand.NewPCG(seed, 0x0de7))}
	f.before, f.waiting, f.after = m.orders()
	f.stands = slices.ContainsFunc(m.ops, func(o op) bool { return o.optional && o.sizes == nil })
	f.turns = slices.ContainsFunc(m.ops, func(o op) bool { return o.optional && o.sizes != nil })
	f.fans = [][]int{nil}
	for _, set := range m.fanSettings() {
		f.fans = append(f.fans, slices.Repeat([]int{set}, len(m.jobs)))
	}
	for _, i := range m.site.StationsOf(line.Dry) {
		f.mostLater += len(m.slots[i])
	}
	f.mostLater = max(0, min(f.mostLater-1, enoughLater))
	return f
}

const enoughLater = 3

// consider builds a schedule and keeps it if it is better.
func (f *orderSearch) consider(d draft) {
	f.p.prefer, f.p.stand, f.p.apart = d.fans, d.stand, d.apart
	s := f.p.build(f.before, d.order, f.after, d.later)
	if s == nil || f.best != nil && s.values.compare(f.best.values) >= 0 {
		return
	}
	f.best, f.from = s, d
}

// considerAll tries an order with every way of putting off the packing, and every
// setting of the fans.
func (f *orderSearch) considerAll(ctx context.Context, order []int) {
	for _, fans := range f.fans {
		for later := range f.mostLater + 1 {
			for _, stand := range []bool{false, true} {
				if (f.stands || !stand) && !f.spent(ctx) {
					f.consider(draft{order: order, later: later, stand: stand, fans: fans})
				}
			}
		}
	}
}

// spent says whether there is a plan and no time for another.
func (f *orderSearch) spent(ctx context.Context) bool { return f.best != nil && ctx.Err() != nil }

// first tries the orders that come to mind: as the prompts have it, and with what has
// served that best the long ways first, and the short ones first.
func (f *orderSearch) first(ctx context.Context) {
	f.considerAll(ctx, f.m.dueFirst(f.waiting))
	tail := func(j int) int {
		n := 0
		for k := range f.m.jobs[j].stages {
			if st := &f.m.jobs[j].stages[k]; st.kind != line.Cut {
				n += st.run
				for _, o := range st.work {
					n += f.m.least(o)
				}
			}
		}
		return n
	}
	like := f.from
	try := func(order []int) {
		if f.spent(ctx) {
			return
		}
		d := like
		d.order = order
		f.consider(d)
	}
	for _, sign := range []int{-1, 1} {
		o := slices.Clone(f.waiting)
		slices.SortStableFunc(o, func(a, b int) int { return sign * cmp.Compare(tail(a), tail(b)) })
		try(o)
		o = slices.Clone(o)
		slices.SortStableFunc(o, func(a, b int) int {
			return cmp.Compare(boolInt(f.m.jobs[a].due == none), boolInt(f.m.jobs[b].due == none))
		})
		try(o)
	}
	f.firstApart(ctx)
}

// firstApart tries the best draft with trays sanitized apart from the surfaces.
func (f *orderSearch) firstApart(ctx context.Context) {
	if f.best == nil || !f.turns {
		return
	}
	for d := f.from; d.apart < mostApart && !f.spent(ctx); {
		d.apart++
		f.consider(d)
	}
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// improve tries so many changes of the best order.
func (f *orderSearch) improve(ctx context.Context, tries int) {
	n := len(f.waiting)
	if f.best == nil || n < 2 {
		return
	}
	for range tries {
		if ctx.Err() != nil {
			return
		}
		f.consider(f.change(n))
	}
}

// change draws a draft near the best one.
func (f *orderSearch) change(n int) draft {
	d := f.from
	d.order = slices.Clone(d.order)
	i, k := f.rnd.IntN(n), f.rnd.IntN(n)
	switch {
	case len(f.fans) > 2 && f.rnd.IntN(4) == 0:
		d.fans = slices.Clone(d.fans)
		if d.fans == nil {
			d.fans = slices.Repeat([]int{none}, len(f.m.jobs))
		}
		d.fans[d.order[i]] = f.fans[1+f.rnd.IntN(len(f.fans)-1)][0]
	case f.rnd.IntN(2) == 0:
		d.order[i], d.order[k] = d.order[k], d.order[i]
	default:
		x := d.order[i]
		d.order = slices.Insert(slices.Delete(d.order, i, i+1), k, x)
	}
	if f.turns && f.rnd.IntN(4) == 0 {
		d.apart = f.rnd.IntN(mostApart + 1)
	}
	if f.stands && f.rnd.IntN(4) == 0 {
		d.stand = !d.stand
	}
	if f.rnd.IntN(4) == 0 {
		d.later = f.rnd.IntN(f.mostLater + 1)
	}
	return d
}
