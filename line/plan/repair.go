package plan

import (
	"cmp"
	"context"
	"slices"
	"time"

	"shedbell/line"
)

// Repair fits the plan that people follow to the state at the instant now, after
// an event. What the plan says stays as far as it still can be done; only a gain
// of more than Stable is worth another order. It takes milliseconds and proves
// nothing; Solve with the repaired plan as the previous one goes on from there.
//
// Without a previous plan it makes a quick one. Errors are those of Solve.
func Repair(s *line.State, now time.Time, previous *Plan, opt Options) (*Plan, error) {
	opt.Previous = previous
	f, kept, err := start(context.Background(), s, now, opt)
	if err != nil {
		return nil, err
	}
	best := f.best
	if kept != nil && !worthIt(f.m, kept.values, best.values) {
		best = kept
	}
	return f.m.toPlan(best, min(f.m.lowBound(), best.values.finish), false), nil
}

// worthIt says whether another plan gains enough to leave the one that people
// follow.
func worthIt(m *Model, old, other values) bool {
	gain := old.finish - other.finish
	switch {
	case old.late != other.late:
		gain = old.late - other.late
	case old.spoilt != other.spoilt:
		gain = old.spoilt - other.spoilt
	}
	return time.Duration(gain)*m.Unit > Stable
}

// opKey names an op across plans.
type opKey struct {
	batch  int
	chore  line.ChoreKind
	crop   string
	number int // among chores of the same kind, from the last
	kind   line.Kind
	role   role
	left   int
}

func (m *Model) keys() []opKey {
	out := make([]opKey, len(m.ops))
	number := make([]int, len(m.jobs))
	for j := range m.jobs {
		for i := j + 1; i < len(m.jobs); i++ {
			if a, b := &m.jobs[j], &m.jobs[i]; a.batch == 0 && b.batch == 0 && a.chore == b.chore && a.crop == b.crop {
				number[j]++
			}
		}
	}
	for o := range m.ops {
		op := &m.ops[o]
		jb := &m.jobs[op.job]
		out[o] = opKey{jb.batch, jb.chore, jb.crop, number[op.job], jb.stages[op.stage].kind, op.role, op.left}
	}
	return out
}

// follow places everything where a plan has it, or later where that is over or
// taken, and keeps the plan's order. Where something is overdue, all that follows may
// come later by as much.
func (f *orderSearch) follow(ctx context.Context, previous *Plan) {
	m, old := f.m, previous.m
	was, sizes, at := map[opKey]int{}, map[opKey]int{}, map[opKey]int{}
	shift := m.units(m.Now.Sub(previous.Made))
	if exact := m.Now.Sub(previous.Made); exact < 0 {
		shift = m.floor(exact)
	}
	for o, k := range old.keys() {
		was[k], sizes[k], at[k] = previous.s.start[o], previous.s.size[o], previous.s.station[old.ops[o].job][old.ops[o].stage]
	}
	units := func(t int) int { return int(time.Duration(t)*old.Unit/m.Unit) - shift }
	f.p.sizes, f.p.where = map[int]int{}, map[int]int{}
	planned, overdue := make([]int, len(m.ops)), 0
	for o, k := range m.keys() {
		if m.ops[o].sizes != nil {
			f.p.sizes[o] = sizes[k]
		}
		if t, ok := was[k]; ok {
			f.p.where[o] = at[k]
			planned[o] = units(t)
			overdue = max(overdue, -planned[o])
		}
	}
	stood := slices.ContainsFunc(previous.Steps, func(st Step) bool { return !st.Stands.IsZero() })
	fans := f.fans
	f.fans = [][]int{f.settingsOf(previous)}
	for _, late := range slices.Compact([]int{0, overdue}) {
		f.p.keep, f.p.changed = make([]int, len(m.ops)), map[int]change{}
		for o, t := range planned {
			f.p.keep[o] = max(0, t+late)
		}
		for _, c := range previous.s.changes {
			if c.beforeJob != none {
				f.p.changed[old.jobs[c.beforeJob].batch] = change{drain: max(0, units(c.drain)+late), refill: max(0, units(c.refill)+late)}
			}
		}
		for later := range f.mostLater + 1 {
			if !f.spent(ctx) {
				f.consider(draft{order: f.orderOf(f.p.keep), later: later, stand: stood, fans: f.fans[0]})
			}
		}
	}
	f.fans, f.p.keep, f.p.changed, f.p.sizes, f.p.where = fans, nil, nil, nil, nil
}

// orderOf is the order of the waiting batches by planned starts.
func (f *orderSearch) orderOf(keep []int) []int {
	m := f.m
	order := slices.Clone(f.waiting)
	first := func(j int) int { return keep[m.jobs[j].stages[0].first()] }
	washed := func(j int) int {
		for k := range m.jobs[j].stages {
			if st := &m.jobs[j].stages[k]; st.kind == line.Wash && st.first() != none {
				return keep[st.first()]
			}
		}
		return first(j)
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(washed(a), washed(b)), cmp.Compare(first(a), first(b)))
	})
	return order
}

// settingsOf are the settings of the fans by another plan, per job.
func (f *orderSearch) settingsOf(previous *Plan) []int {
	old := previous.m
	was := map[int]int{}
	for j := range old.jobs {
		for k := range old.jobs[j].stages {
			if st := &old.jobs[j].stages[k]; st.runAt != nil {
				was[old.jobs[j].batch] = old.setting(previous.s, j, k)
			}
		}
	}
	out := make([]int, len(f.m.jobs))
	for j := range out {
		out[j] = none
		if set, ok := was[f.m.jobs[j].batch]; ok && f.m.jobs[j].batch != 0 {
			out[j] = set
		}
	}
	return out
}
