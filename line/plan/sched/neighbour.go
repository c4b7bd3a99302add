package sched

import (
	"math/rand/v2"
	"slices"

	"shedbell/line/plan/sched/lcg"
)

// improve is the worker for large neighbourhood search: it frees part of the
// best schedule, keeps the order of the rest, and has the clause-learning
// engine look for something better.
//
// The rest keeps its order, not its times: a partial order schedule (Policella,
// Cesta, Oddi and Smith 2007; Godard, Laborie and Nuijten 2005).
type improve struct {
	b    *pool
	m    *model
	rng  *rand.Rand
	uses []use
	free []bool
	kind int
	size [kinds]float64 // wanted share of free activities, per kind
	done bool
}

const (
	byWindow = iota
	byResource
	atRandom
	kinds
)

const (
	neighbourConflicts = 250
	smallestShare      = 0.04
)

func newImprove(b *pool) (*improve, error) {
	m, err := compile(b.p)
	if err != nil {
		return nil, err
	}
	m.e.Stop = b.stop.Load
	if b.opt.Hint != nil {
		m.wishFor(b.opt.Hint)
	}
	m.e.Mark()
	w := &improve{b: b, m: m, rng: rand.New(rand.NewPCG(b.opt.Seed, 0x1a5)), uses: usesOf(b.p)}
	w.free = make([]bool, len(b.p.Activities))
	for k := range w.size {
		w.size[k] = max(smallestShare, min(1, 25/float64(len(w.free)+1)))
	}
	w.done = len(w.free) == 0 || m.e.Unsat()
	return w, nil
}

// step tries one neighbourhood of the best schedule.
func (w *improve) step() {
	best, goal, _ := w.b.state()
	if best == nil {
		w.dive()
		return
	}
	if goal == len(w.m.goal) || w.done {
		return
	}
	w.kind = (w.kind + 1) % kinds
	w.choose(best)
	e := w.m.e
	e.Rewind()
	// Mostly the first open goal, now and then a later one at equal cost.
	for goal+1 < len(w.m.goal) && w.rng.IntN(3) == 0 {
		goal++
	}
	for k := range goal + 1 {
		g := w.m.goal[k]
		most := best.Values[k]
		if k == goal {
			most--
		}
		e.Root(lcg.AtMost(g.v, int32(most)-g.gap))
	}
	w.freeze(best)
	w.m.wishFor(&best.Schedule)
	for i, v := range w.m.start {
		e.Remember(v, int32(best.Start[i]))
	}
	e.UseActivity = true
	share := &w.size[w.kind]
	switch e.Search(nil, neighbourConflicts) {
	case lcg.Solved:
		w.b.offer(w.m.read())
	case lcg.Contradiction, lcg.Refuted:
		*share = min(1, *share*1.03)
	default:
		*share = max(smallestShare, *share*0.97)
	}
}

// dive looks for a first schedule, other than the exact worker does: with
// conflict-driven decisions from the start, in turns with the plain rule.
func (w *improve) dive() {
	if w.done {
		return
	}
	e := w.m.e
	e.UseActivity = !e.UseActivity
	switch e.Search(nil, 4*neighbourConflicts) {
	case lcg.Solved:
		w.b.offer(w.m.read())
	case lcg.Contradiction:
		w.b.refute()
		w.done = true
	}
}

// choose marks the activities to free.
func (w *improve) choose(best *Solution) {
	n := len(w.free)
	want := max(2, int(w.size[w.kind]*float64(n)))
	clear(w.free)
	pivot := w.rng.IntN(n)
	switch w.kind {
	case byWindow:
		w.freeNearest(want, func(i int) int {
			return abs(best.Start[i] - best.Start[pivot])
		})
	case byResource:
		on := map[int32]bool{}
		r := w.rng.IntN(max(1, len(w.b.p.Resources)))
		for _, u := range w.uses {
			if u.resource == int32(r) {
				on[int32(u.from.Activity)] = true
				on[int32(u.to.Activity)] = true
			}
		}
		at := best.Start[pivot]
		w.freeNearest(want, func(i int) int {
			d := abs(best.Start[i]-at) * 2
			if !on[int32(i)] {
				d *= 4
			}
			return d + w.rng.IntN(3)
		})
	case atRandom:
		for range want {
			w.free[w.rng.IntN(n)] = true
		}
	}
}

// freeNearest frees the want activities of least distance.
func (w *improve) freeNearest(want int, distance func(int) int) {
	type near struct{ d, i int }
	all := make([]near, len(w.free))
	for i := range all {
		all[i] = near{distance(i), i}
	}
	slices.SortFunc(all, func(a, b near) int {
		if a.d != b.d {
			return a.d - b.d
		}
		return a.i - b.i
	})
	for _, a := range all[:min(want, len(all))] {
		w.free[a.i] = true
	}
}

func abs(x int) int {
	if x < 0 {
		return -x
	}
	return x
}

// freeze keeps, among activities that are not free, the modes and the order
// in which they hand resources to each other.
func (w *improve) freeze(best *Solution) {
	e := w.m.e
	for i, picks := range w.m.pick {
		if !w.free[i] && len(picks) > 1 {
			e.Root(picks[best.Mode[i]])
		}
	}
	at := func(p Point) int {
		t := best.Start[p.Activity]
		if p.Finish {
			t += w.b.p.Activities[p.Activity].Modes[best.Mode[p.Activity]].Duration
		}
		return t
	}
	type chunk struct {
		to    Point
		end   int
		units int32
	}
	var held []use
	for r := range w.b.p.Resources {
		held = held[:0]
		for _, u := range w.uses {
			if u.resource == int32(r) && !w.free[u.from.Activity] && !w.free[u.to.Activity] &&
				(u.activity < 0 || int32(best.Mode[u.activity]) == u.mode) && at(u.from) < at(u.to) {
				held = append(held, u)
			}
		}
		slices.SortStableFunc(held, func(a, b use) int { return at(a.from) - at(b.from) })
		var chain []chunk
		for _, u := range held {
			start, need := at(u.from), u.units
			for k := len(chain) - 1; k >= 0 && need > 0; k-- {
				c := &chain[k]
				if c.end > start || c.units == 0 {
					continue
				}
				w.m.addLag(w.m.at(c.to), w.m.at(u.from), 0)
				took := min(need, c.units)
				c.units -= took
				need -= took
			}
			chain = slices.DeleteFunc(chain, func(c chunk) bool { return c.units == 0 })
			chain = append(chain, chunk{u.to, at(u.to), u.units})
		}
	}
}

// use is an interval that takes units of a resource: in a mode of an activity or,
// with activity -1, in any case.
type use struct {
	activity, mode int32
	from, to       Point
	resource       int32
	units          int32
}

// usesOf lists every use of a resource in p that counts on its own.
func usesOf(p *Problem) []use {
	var out []use
	add := func(activity, mode int, from, to Point, ds []Demand) {
		for _, d := range ds {
			if d.Group == 0 && d.Units > 0 {
				out = append(out, use{int32(activity), int32(mode), from, to, int32(d.Resource), int32(d.Units)})
			}
		}
	}
	for i := range p.Activities {
		for k, md := range p.Activities[i].Modes {
			add(i, k, StartOf(i), FinishOf(i), md.Demands)
		}
	}
	for _, h := range p.Holds {
		if c := h.When; c != nil {
			add(c.Activity, c.Mode, h.From, h.To, h.Demands)
		} else {
			add(-1, 0, h.From, h.To, h.Demands)
		}
	}
	return out
}
