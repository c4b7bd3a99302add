package sched

// breed is the worker that makes schedules by generation schemes. It applies
// to problems of the plain project scheduling kind only.
type breed struct {
	b     *pool
	sb    *serialBuilder
	g     *breeder
	seen  int64
	start []int
	mode  []int
	last  int64
}

// The two breeders of a run draw different numbers.
const first, second = 0, 0x2b

// newBreed returns nil if the problem is not of the plain kind.
func newBreed(b *pool, which uint64) *breed {
	p := plainProject(b.p)
	if p == nil {
		return nil
	}
	sb := newSerialBuilder(p)
	if sb == nil {
		return nil
	}
	n := len(b.p.Activities)
	return &breed{b: b, sb: sb, g: newBreeder(sb, b.opt.Seed^which), start: make([]int, n), mode: make([]int, n)}
}

// step makes a number of schedules and hands in the best.
func (w *breed) step(schedules int) {
	w.inject()
	for range schedules {
		if w.b.stop.Load() {
			break
		}
		if w.g.Step() {
			best, _ := w.g.Best()
			for i, s := range best {
				w.start[i] = int(s)
			}
			w.b.offer(Schedule{w.start, w.mode})
		}
	}
	w.b.count(Stats{Schedules: w.sb.Schedules - w.last})
	w.last = w.sb.Schedules
}

// inject takes over a better schedule found elsewhere.
func (w *breed) inject() {
	v := w.b.version.Load()
	if v == w.seen {
		return
	}
	w.seen = v
	best, _, _ := w.b.state()
	if _, end := w.g.Best(); best.Values[0] < end {
		start := make([]int32, len(best.Start))
		for i, s := range best.Start {
			start[i] = int32(s)
		}
		w.g.Inject(start)
	}
}

// plainProject restates p for the serial generation scheme, or returns nil if p has anything
// that is not in that problem.
func plainProject(p *Problem) *project {
	first := p.goals()[0]
	if len(first) != 1 || first[0].Kind != Makespan || len(p.Holds) > 0 {
		return nil
	}
	out := &project{}
	for _, r := range p.Resources {
		if len(r.Blocks) > 0 {
			return nil
		}
		out.Capacity = append(out.Capacity, r.Capacity)
	}
	for i := range p.Activities {
		a := &p.Activities[i]
		if len(a.Modes) != 1 || a.Deadline > 0 || a.Fixed {
			return nil
		}
		req := make([]int, len(p.Resources))
		for _, d := range a.Modes[0].Demands {
			if d.Group != 0 {
				return nil
			}
			req[d.Resource] += d.Units
		}
		out.Duration = append(out.Duration, a.Modes[0].Duration)
		out.Release = append(out.Release, max(0, a.Release))
		out.Request = append(out.Request, req)
	}
	for _, l := range p.Lags {
		gap := l.Gap
		if l.From.Finish {
			gap += out.Duration[l.From.Activity]
		}
		if l.To.Finish {
			gap -= out.Duration[l.To.Activity]
		}
		out.Arcs = append(out.Arcs, projectArc{From: l.From.Activity, To: l.To.Activity, Gap: gap})
	}
	if p.Horizon > 0 {
		return nil
	}
	return out
}
