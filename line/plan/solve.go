package plan

import (
	"context"
	"reflect"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/plan/sched"
	"shedbell/line/say"
)

// Solve plans the rest of the day from the state at the instant now, and improves
// the plan until it is proved best, the budget is spent or ctx ends. A plan is
// returned even then.
//
// An error of type *Impossible with no plan says that the work cannot be done at
// all; with a plan, that it can be done but not by the times that are asked for.
func Solve(ctx context.Context, s *line.State, now time.Time, opt Options) (*Plan, error) {
	if opt.Budget <= 0 {
		opt.Budget = DefaultBudget
	}
	if opt.Workers <= 0 {
		opt.Workers = 2
	}
	within, cancel := context.WithTimeout(ctx, opt.Budget)
	defer cancel()
	h, err := begin(within, s, now, opt)
	if err != nil {
		return nil, err
	}
	h.run(within, opt.Budget)
	p := h.plan()
	if base := h.base; base != nil && !worthIt(h.m, base.s.values, h.best.values) {
		p = base.m.toPlan(base.s, min(h.bound, base.s.values.finish), h.proved && base.s.values.finish <= h.bound)
	}
	if opt.WhatIf > 0 {
		p.WhatIf = askAll(ctx, s, now, p, opt)
	}
	if late := p.lateDemands(); late != nil {
		return p, late
	}
	return p, nil
}

// solving is a search under way.
type solving struct {
	m      *Model
	opt    Options
	best   *schedule
	base   *Plan // what people follow, mended
	bound  int   // proved end of the day
	proved bool
	ends   bool // only the end of the day counts
}

// begin makes the first plan.
func begin(ctx context.Context, s *line.State, now time.Time, opt Options) (*solving, error) {
	f, kept, err := start(ctx, s, now, opt)
	if err != nil {
		return nil, err
	}
	m := f.m
	h := &solving{m: m, opt: opt, best: f.best, bound: m.lowBound()}
	if m.differs() {
		if lax, err := build(s, now, opt.Paces, true); err == nil {
			h.bound = lax.lowBound()
		}
	}
	if kept != nil {
		h.base = m.toPlan(kept, min(h.bound, kept.values.finish), false)
	} else {
		h.tell()
	}
	f.improve(ctx, quickTries)
	h.take(f.best)
	return h, nil
}

// start makes the quick plans, of which the best stays, and one that keeps to the
// plan before: kept.
func start(ctx context.Context, s *line.State, now time.Time, opt Options) (f *orderSearch, kept *schedule, err error) {
	m, err := build(s, now, opt.Paces, false)
	if err != nil {
		return nil, nil, err
	}
	f = newOrderSearch(m, opt.Seed)
	if opt.Previous != nil {
		f.follow(ctx, opt.Previous)
		kept = f.best
		if m.sameWork(opt.Previous.m) { // nothing has happened since: no instant of it may move
			kept = opt.Previous.s
			f.best = kept
		}
	}
	f.first(ctx)
	if f.best == nil {
		return nil, nil, errNoPlace
	}
	return f, kept, nil
}

// sameWork says whether two models are of the same work at the same instant, so that a
// schedule of one is one of the other.
func (m *Model) sameWork(o *Model) bool {
	if !m.Now.Equal(o.Now) || m.Unit != o.Unit || m.crew != o.crew {
		return false
	}
	parts := func(m *Model) []any {
		return []any{m.jobs, m.ops, m.links, m.starts, m.slots, m.away, m.fans, m.mains, m.pools, m.tubs}
	}
	return reflect.DeepEqual(parts(m), parts(o))
}

// quickTries is how many orders are tried before the exact search.
const quickTries = 200

var errNoPlace = say.Error("plan.no-place")

func (h *solving) take(s *schedule) bool {
	if s.values.compare(h.best.values) >= 0 {
		return false
	}
	h.best = s
	h.tell()
	return true
}

func (h *solving) tell() {
	if h.opt.OnBetter == nil || h.base != nil && !worthIt(h.m, h.base.s.values, h.best.values) {
		return
	}
	h.opt.OnBetter(h.plan())
}

func (h *solving) plan() *Plan {
	return h.m.toPlan(h.best, min(h.bound, h.best.values.finish), h.proved)
}

// run shares the budget out: first a search among plans with the same water, which
// is quick; on long days some that exchange batches between two waters; then one that
// shares out the water as a whole.
func (h *solving) run(ctx context.Context, budget time.Duration) {
	least, n := len(h.m.fewestChanges()), len(h.best.changes)
	tubs := len(h.m.site.StationsOf(line.Wash))
	if tubs > 1 || n == 0 {
		h.solve(ctx, budget, sameWater, n == 0 && (tubs > 1 && h.m.waterLasts() || least == 0))
		return
	}
	h.solve(ctx, budget/4, sameWater, false)
	const rounds = 2
	for i := 0; i < rounds*n && n > 2 && !h.settled() && ctx.Err() == nil; i++ {
		h.solve(ctx, budget/time.Duration(2*rounds*n), waters(i%n), false)
	}
	if !h.settled() && ctx.Err() == nil {
		h.solve(ctx, budget, anyWater, n == least)
	}
}

// settled says whether the best plan ends as early as any can.
func (h *solving) settled() bool {
	v := h.best.values
	h.proved = h.proved || v.late+v.spoilt == 0 && v.finish <= h.bound
	return h.proved
}

// differs says whether some work takes longer at one station than at another where it
// could be done too; a plan counts the longest.
func (m *Model) differs() bool {
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			all := m.jobs[j].stages[k].stations
			for _, i := range all {
				a, b := &m.site.Stations[i], &m.site.Stations[all[0]]
				if a.HandsTime != b.HandsTime || a.Walk != b.Walk || a.Contact != b.Contact || a.PerTray != b.PerTray || a.Hands != b.Hands {
					return true
				}
			}
		}
	}
	return false
}

// slack is how much longer than the best plan a better one may take where due
// times come before the end of the day.
const slack = 2 * time.Hour

// solve searches from the best plan on; whole says that nothing is left out, so that
// what the search proves holds for every plan.
func (h *solving) solve(ctx context.Context, budget time.Duration, open waters, whole bool) {
	part, cancel := context.WithTimeout(ctx, budget)
	defer cancel()
	like := h.best
	p := h.m.newProblem(like, open)
	p.out.Horizon = h.horizon(p)
	p.out.Activities[p.end].Release = min(h.bound, like.values.finish) // not before what is known already
	if h.ends {
		p.out.Goals = p.out.Goals[:p.span()+1]
	}
	hint := p.hint(like)
	r, err := sched.Solve(part, p.out, sched.Options{Workers: h.opt.Workers, Seed: h.opt.Seed, Hint: hint,
		OnSolution: func(s sched.Solution) {
			x := p.read(like, s.Schedule)
			if open == sameWater || h.m.waterAllowed(x) {
				h.take(x)
			}
			if h.ends && h.settled() {
				cancel()
			}
		}})
	if err == nil && whole {
		h.raise(p, r)
	}
	h.settled()
}

// horizon is the latest end that is of any use.
func (h *solving) horizon(p *problem) int {
	if p.span() > 0 {
		return h.best.values.finish + h.m.units(slack)
	}
	return h.best.values.finish
}

// raise takes over what a search that leaves nothing out has proved.
func (h *solving) raise(p *problem, r sched.Result) {
	span, v := p.span(), h.best.values
	if r.Status == sched.Infeasible && span == 0 {
		h.bound, h.proved = v.finish, true // nothing at all ends as early
		return
	}
	if r.Status == sched.Infeasible || len(r.Bounds) <= span {
		return
	}
	early := p.early(v)
	for i := range span {
		if r.Bounds[i] < early[i] {
			return // what is known of the end holds among less lateness only
		}
	}
	h.bound = max(h.bound, r.Bounds[span])
	h.proved = h.proved || v.finish <= h.bound
}

// hint is a schedule as the solver takes it.
func (p *problem) hint(like *schedule) *sched.Schedule {
	n := len(p.out.Activities)
	s := &sched.Schedule{Start: make([]int, n), Mode: make([]int, n)}
	copy(s.Start, like.start)
	s.Start[p.end] = like.values.finish
	for o := range p.m.ops {
		switch op := &p.m.ops[o]; {
		case op.sizes != nil:
			s.Mode[o] = max(0, slices.Index(op.sizes, like.size[o]))
		case op.optional:
			s.Mode[o] = boolInt(!like.skip[o])
		}
	}
	for i, c := range like.changes[:min(len(like.changes), len(p.changes))] {
		s.Start[p.drains[i]], s.Start[p.refills[i]] = c.drain, c.refill
	}
	for _, c := range p.choices {
		if c.runs {
			s.Start[c.activity] = p.m.begin(like, c.job, c.stage)
		}
		s.Mode[c.activity] = max(0, slices.Index(c.options, option{like.station[c.job][c.stage], p.m.setting(like, c.job, c.stage)}))
	}
	p.hintWaterReturns(s.Start, like)
	return s
}

func cloned(rows [][]int) [][]int {
	out := make([][]int, len(rows))
	for i := range rows {
		out[i] = slices.Clone(rows[i])
	}
	return out
}

// read turns a solver's schedule back into one of the model's.
func (p *problem) read(like *schedule, x sched.Schedule) *schedule {
	m := p.m
	s := &schedule{start: slices.Clone(x.Start[:len(m.ops)]), station: like.station, fan: like.fan,
		skip: make([]bool, len(m.ops)), size: make([]int, len(m.ops))}
	for o := range m.ops {
		op := &m.ops[o]
		s.skip[o] = op.optional && x.Mode[o] == 0 || op.with > 0 && x.Mode[op.with-1] == 0
		if op.sizes != nil {
			s.size[o] = op.sizes[x.Mode[o]]
		}
	}
	if len(p.choices) > 0 {
		s.fan, s.station = cloned(like.fan), cloned(like.station)
	}
	for _, c := range p.choices {
		o := c.options[x.Mode[c.activity]]
		s.station[c.job][c.stage] = o.station
		if m.jobs[c.job].stages[c.stage].kind == line.Dry && m.site.Stations[o.station].Load != line.NoLoad {
			s.fan[c.job][c.stage] = o.setting
		}
	}
	for i, c := range p.changes {
		refill := x.Start[p.refills[i]]
		s.changes = append(s.changes, change{station: c.station, drain: x.Start[p.drains[i]], refill: refill,
			end: refill + m.tubs[c.station].refill, beforeJob: none})
	}
	m.nameChanges(s)
	m.judge(s)
	return s
}
