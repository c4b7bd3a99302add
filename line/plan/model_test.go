package plan

import (
	"testing"

	"shedbell/line/linetest"
	"shedbell/line/plan/bench"
	"shedbell/line/plan/sched"
)

// TestListPlansSatisfyTheProblem: what the list scheduler builds is a solution of
// the problem that is posed to the exact solver, judged by the checker that shares
// no code with either, and both measure it alike.
func TestListPlansSatisfyTheProblem(t *testing.T) {
	for seed := range uint64(40) {
		s := linetest.RandomDay(seed)
		m, err := build(s, linetest.Morning, nil, false)
		if err != nil {
			t.Fatal(err)
		}
		f := newOrderSearch(m, seed)
		f.first(t.Context())
		f.improve(t.Context(), 20)
		for _, open := range []waters{sameWater, anyWater, 0} {
			p := m.newProblem(f.best, open)
			if len(p.changes) != len(f.best.changes) {
				continue // the list scheduler changes the water more often than need be
			}
			got := *p.hint(f.best)
			for _, bad := range bench.CheckSchedule(p.out, sched.Schedule(got)) {
				t.Errorf("day %d: %s", seed, bad)
			}
			values := p.out.Values(got)
			if end := values[p.span()]; end != f.best.values.finish {
				t.Errorf("day %d: the end is %d here and %d there", seed, f.best.values.finish, end)
			}
			for i, v := range p.early(f.best.values) {
				if values[i] != v {
					t.Errorf("day %d: goal %d is %d here and %d there", seed, i, v, values[i])
				}
			}
			if back := p.read(f.best, got); back.values != f.best.values {
				t.Errorf("day %d: read back as %+v instead of %+v", seed, back.values, f.best.values)
			}
		}
	}
}
