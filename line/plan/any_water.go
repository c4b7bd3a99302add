package plan

import (
	"cmp"
	"context"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/plan/sched"
)

// wash is one batch's stay in a tub.
type wash struct{ job, stage, from, to int }

// washes lists the washes still to begin in a tub, by start.
func (m *Model) washes(s *schedule, station int) []wash {
	var out []wash
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			st := &m.jobs[j].stages[k]
			if st.kind == line.Wash && m.jobs[j].batch != 0 && st.first() != none && !st.again && s.station[j][k] == station {
				out = append(out, wash{j, k, m.entered(s, j, k), m.left(s, j, k)})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b wash) int { return cmp.Compare(a.from, b.from) })
	return out
}

// nameChanges notes which wash comes after each change of water.
func (m *Model) nameChanges(s *schedule) {
	for i := range s.changes {
		c := &s.changes[i]
		for _, w := range m.washes(s, c.station) {
			if w.from >= c.end {
				c.beforeJob = w.job
				break
			}
		}
	}
}

// waterRight says whether every wash of a schedule finds a water that it may use.
func (m *Model) waterRight(s *schedule) bool {
	for _, i := range m.site.StationsOf(line.Wash) {
		t := m.tubs[i]
		t.crops = slices.Clone(t.crops)
		changes := slices.Clone(s.changes)
		slices.SortFunc(changes, func(a, b change) int { return cmp.Compare(a.end, b.end) })
		for _, w := range m.washes(s, i) {
			for len(changes) > 0 && changes[0].end <= w.from {
				if changes[0].station == i {
					t.batches, t.crops = 0, nil
				}
				changes = changes[1:]
			}
			if !m.fits(&t, m.jobs[w.job].crop) {
				return false
			}
			t.batches++
			t.crops = append(t.crops, m.jobs[w.job].crop)
		}
	}
	return true
}

// anyWater solves without regard to which water each wash finds. What comes out is
// a bound; its order of washes suggests another sharing out of the water, which is
// returned as a schedule to be like.
func (h *hunt) anyWater(ctx context.Context, budget time.Duration) *schedule {
	part, cancel := context.WithTimeout(ctx, budget)
	defer cancel()
	p := h.m.pose(h.best, true)
	p.out.Horizon = h.horizon(p)
	r, err := sched.Solve(part, p.out, sched.Options{Workers: h.opt.Workers, Seed: h.opt.Seed})
	if err != nil {
		return nil
	}
	if r.Best == nil {
		return nil
	}
	x := p.read(h.best, r.Best.Schedule)
	one := h.m.oneOfEach()
	if one && h.m.waterRight(x) {
		h.take(x)
	}
	if one {
		h.raise(p, r)
	}
	if h.proved {
		return nil
	}
	f := newFinder(h.m, h.opt.Seed)
	order := slices.Clone(f.waiting)
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(h.m.washedAt(x, a), h.m.washedAt(x, b)) })
	f.consider(order)
	if f.best != nil {
		h.take(f.best)
	}
	return f.best
}

// washedAt is when a batch is put into a tub, or when it starts if it is not washed.
func (m *Model) washedAt(s *schedule, j int) int {
	for k := range m.jobs[j].stages {
		if m.jobs[j].stages[k].kind == line.Wash {
			return m.begin(s, j, k)
		}
	}
	return m.begin(s, j, 0)
}

// prove raises the bound by going through who is washed last: that wash needs a
// change of water before it, so the changes cannot all be put off to the end.
func (h *hunt) prove(ctx context.Context, budget time.Duration) {
	if h.proved || !h.m.oneOfEach() || len(h.m.fewestChanges()) == 0 {
		return
	}
	classes := h.lastWashes()
	if len(classes) == 0 {
		return
	}
	least := farAway
	for _, c := range classes {
		b := h.lastBound(ctx, budget/time.Duration(len(classes)), c)
		if least = min(least, b); least <= h.bound {
			return
		}
	}
	h.bound = max(h.bound, least)
	h.proved = h.proved || h.bound >= h.best.values.finish && h.best.values.late == 0 && h.best.values.spoilt == 0
}

// lastWashes is one job for each kind of batch that could be washed last.
func (h *hunt) lastWashes() []wash {
	type like struct {
		crop       string
		trays, due int
	}
	seen := map[like]bool{}
	var out []wash
	all := h.m.washes(h.best, h.m.site.StationsOf(line.Wash)[0])
	slices.Reverse(all)
	for _, w := range all {
		jb := &h.m.jobs[w.job]
		key := like{jb.crop, jb.trays, jb.due}
		if len(jb.stages) == 0 || jb.stages[0].at != line.Nowhere {
			key.trays = -w.job - 1 // on the line already: like no other
		}
		if !seen[key] {
			seen[key] = true
			out = append(out, w)
		}
	}
	return out
}

// lastBound is the earliest end if a batch is washed last.
func (h *hunt) lastBound(ctx context.Context, budget time.Duration, last wash) int {
	part, cancel := context.WithTimeout(ctx, budget)
	defer cancel()
	p := h.m.pose(h.best, true)
	refill := len(p.out.Activities) - 1
	in := h.m.jobs[last.job].stages[last.stage].first()
	p.lag(sched.FinishOf(refill), sched.StartOf(in), 0)
	for _, w := range h.m.washes(h.best, h.m.site.StationsOf(line.Wash)[0]) {
		if w.job != last.job {
			p.lag(sched.StartOf(h.m.jobs[w.job].stages[w.stage].first()), sched.StartOf(in), 0)
		}
	}
	p.out.Goals = nil
	p.out.Horizon = h.best.values.finish
	r, err := sched.Solve(part, p.out, sched.Options{Workers: h.opt.Workers, Seed: h.opt.Seed})
	switch {
	case err != nil:
		return 0
	case r.Status == sched.Infeasible:
		return h.best.values.finish
	}
	return min(r.Bounds[0], h.best.values.finish)
}
