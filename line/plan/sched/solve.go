package sched

import (
	"context"
	"sync"
)

// Solve searches until the goals are proved, a limit is reached or ctx ends.
// The error is about the problem's form; that no schedule exists is an answer.
func Solve(ctx context.Context, p *Problem, opt Options) (Result, error) {
	if err := p.Check(); err != nil {
		return Result{}, err
	}
	b := newPool(p, opt)
	defer context.AfterFunc(ctx, func() { b.stop.Store(true) })()
	if ctx.Err() != nil {
		b.stop.Store(true)
	}
	x, err := newExact(b)
	if err != nil {
		return Result{}, err
	}
	g := newBreed(b, first)
	if g != nil {
		g.step(firstSchedules)
	}
	if opt.Workers < 2 {
		alternate(b, x, g)
		x.report()
		return b.result(), nil
	}
	var wg sync.WaitGroup
	wg.Go(func() {
		prove(b, x)
		b.stop.Store(true)
	})
	wg.Go(func() { search(b, g) })
	wg.Wait()
	x.report()
	return b.result(), nil
}

const (
	firstSchedules = 60
	moreSchedules  = 1000
	fewSchedules   = 50 // where tasks exclude each other in pairs
	neighbours     = 4  // one where schedules are made in between
	// giveWay is the number of slices of exact search after which, with the proof still
	// far off, its worker makes schedules in between.
	giveWay = 9
	farOff  = 33 // far: the gap is above this part of the best value
)

// prove runs the exact search and, where the proof is far off, makes schedules in
// between. Where tasks exclude each other in pairs, as in job shops, it never does:
// there the exact search is the best at finding schedules, too.
func prove(b *pool, x *exact) {
	var g *breed
	alone := len(x.m.pairs) > 0
	for !x.done() {
		x.step()
		if alone || x.turn < giveWay {
			continue
		}
		best, goal, bound := b.state()
		if best == nil || goal > 0 || (best.Values[0]-bound)*farOff <= best.Values[0] {
			continue
		}
		if g == nil {
			if g = newBreed(b, second); g == nil {
				alone = true
				continue
			}
		}
		g.step(moreSchedules)
	}
}

// search looks for better schedules until told to stop.
func search(b *pool, g *breed) {
	w, err := newImprove(b)
	for err == nil && !b.stop.Load() {
		searchSlice(b, g, w)
	}
}

func searchSlice(b *pool, g *breed, w *improve) {
	tries := neighbours
	switch {
	case g == nil:
	case len(w.m.pairs) > 0:
		g.step(fewSchedules)
	default:
		g.step(moreSchedules)
		tries = 1
	}
	for range tries {
		if !b.stop.Load() {
			w.step()
		}
	}
}

// alternate runs all methods in turns on one goroutine. The heuristics begin
// once a slice of exact search has not settled the matter.
func alternate(b *pool, x *exact, g *breed) {
	var w *improve
	for !x.done() {
		x.step()
		if x.done() {
			return
		}
		if w == nil {
			var err error
			if w, err = newImprove(b); err != nil {
				return
			}
		}
		searchSlice(b, g, w)
	}
}
