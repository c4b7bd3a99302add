package sched

import (
	"fmt"

	"shedbell/line/plan/sched/lcg"
)

// timeAt is an instant as a variable plus a constant.
type timeAt struct {
	v   lcg.Var
	gap int32
}

// model is a problem posted to an engine.
type model struct {
	p       *Problem
	e       *lcg.Engine
	horizon int32
	start   []lcg.Var
	end     []timeAt
	pick    [][]lcg.Lit // per activity and mode; Always for a lone mode
	rest    []lcg.Var   // auxiliary variables to settle at their least value
	goal    []timeAt    // value of each goal
	span    lcg.Var     // makespan
	pairs   []pairOrder

	alternatives   bool    // some activity has several modes
	wish, wishMode []int32 // see wishFor
}

// pairOrder is a Boolean that is true if one of a pair runs before the other.
type pairOrder struct{ first lcg.Var }

// compile posts p. The engine may turn out contradictory at once.
func compile(p *Problem) (*model, error) {
	m := &model{p: p, horizon: int32(p.horizon())}
	m.e = lcg.New(m.decide)
	m.addActivities()
	m.addLags()
	m.addResources()
	if err := m.addGoals(); err != nil {
		return nil, err
	}
	m.e.PropagateRoot()
	return m, nil
}

func (m *model) addActivities() {
	e, p := m.e, m.p
	for i := range p.Activities {
		a := &p.Activities[i]
		shortest := a.Modes[0].Duration
		for _, md := range a.Modes {
			shortest = min(shortest, md.Duration)
		}
		lo, hi := max(0, a.Release), int(m.horizon)
		if a.Deadline > 0 {
			hi = min(hi, a.Deadline)
		}
		if a.Fixed {
			lo = max(lo, a.Start)
		}
		latest := hi - shortest
		if a.Fixed {
			latest = min(latest, a.Start)
		}
		s := e.NewVar(int32(lo), int32(latest))
		m.start = append(m.start, s)
		if len(a.Modes) == 1 {
			m.end = append(m.end, timeAt{s, int32(shortest)})
			m.pick = append(m.pick, []lcg.Lit{lcg.Always})
			continue
		}
		m.alternatives = true
		end := e.NewVar(int32(lo+shortest), int32(hi))
		m.end = append(m.end, timeAt{end, 0})
		m.rest = append(m.rest, end)
		m.addModes(a, s, end)
	}
}

// addModes makes exactly one mode hold and ties the end to its duration.
func (m *model) addModes(a *Activity, s, end lcg.Var) {
	e := m.e
	var pick []lcg.Lit
	for range a.Modes {
		pick = append(pick, lcg.IsTrue(e.NewBool()))
	}
	m.pick = append(m.pick, pick)
	e.AddClause(pick...)
	for x := range pick {
		for y := range x {
			e.AddClause(pick[x].Not(), pick[y].Not())
		}
		d := int32(a.Modes[x].Duration)
		e.AddDifference(s, end, d, pick[x])
		e.AddDifference(end, s, -d, pick[x])
	}
	shortest, longest := a.Modes[0].Duration, 0
	for _, md := range a.Modes {
		shortest, longest = min(shortest, md.Duration), max(longest, md.Duration)
	}
	e.AddDifference(s, end, int32(shortest), lcg.Always)
	e.AddDifference(end, s, int32(-longest), lcg.Always)
}

func (m *model) at(pt Point) timeAt {
	if pt.Finish {
		return m.end[pt.Activity]
	}
	return timeAt{m.start[pt.Activity], 0}
}

// addLag posts to >= from + gap.
func (m *model) addLag(from, to timeAt, gap int32) { m.addLagWhen(from, to, gap, lcg.Always) }

// addLagWhen posts it for where a literal holds.
func (m *model) addLagWhen(from, to timeAt, gap int32, when lcg.Lit) {
	d := gap + from.gap - to.gap
	if from.v == to.v {
		if d > 0 {
			m.e.AddClause(when.Not()) // an instant after itself: no solution
		}
		return
	}
	m.e.AddDifference(from.v, to.v, d, when)
}

func (m *model) addLags() {
	for _, l := range m.p.Lags {
		when := lcg.Always
		if c := l.When; c != nil {
			when = m.pick[c.Activity][c.Mode]
		}
		m.addLagWhen(m.at(l.From), m.at(l.To), int32(l.Gap), when)
	}
	for _, h := range m.p.Holds {
		m.addLag(m.at(h.From), m.at(h.To), 0)
	}
}

// addResources posts one cumulative constraint per resource.
func (m *model) addResources() {
	groups := map[[2]int]int32{}
	group := func(d Demand) int32 {
		if d.Group == 0 {
			return 0
		}
		key := [2]int{d.Resource, d.Group}
		if groups[key] == 0 {
			groups[key] = int32(len(groups) + 1)
		}
		return groups[key]
	}
	for r := range m.p.Resources {
		m.addCumulative(r, m.tasksOn(r, group))
	}
}

// tasksOn lists what may take units of resource r. Demands of one activity
// that count separately are added up.
func (m *model) tasksOn(r int, group func(Demand) int32) []lcg.Task {
	var tasks []lcg.Task
	add := func(from, to timeAt, present lcg.Lit, ds []Demand) {
		if from.v == to.v && from.gap >= to.gap {
			return // takes no time
		}
		plain := 0
		for _, d := range ds {
			if d.Resource != r {
				continue
			}
			if d.Group == 0 {
				plain += d.Units
				continue
			}
			tasks = append(tasks, lcg.Task{Start: from.v, End: to.v, StartGap: from.gap, EndGap: to.gap,
				Demand: int32(d.Units), Present: present, Group: group(d)})
		}
		if plain > 0 {
			tasks = append(tasks, lcg.Task{Start: from.v, End: to.v, StartGap: from.gap, EndGap: to.gap,
				Demand: int32(min(plain, maxTime)), Present: present})
		}
	}
	for i := range m.p.Activities {
		for k, md := range m.p.Activities[i].Modes {
			s := m.start[i]
			add(timeAt{s, 0}, timeAt{s, int32(md.Duration)}, m.pick[i][k], md.Demands)
		}
	}
	for _, h := range m.p.Holds {
		present := lcg.Always
		if c := h.When; c != nil {
			present = m.pick[c.Activity][c.Mode]
		}
		add(m.at(h.From), m.at(h.To), present, h.Demands)
	}
	return tasks
}

func (m *model) addCumulative(r int, tasks []lcg.Task) {
	e, res := m.e, &m.p.Resources[r]
	total := int64(0)
	for _, t := range tasks {
		total += int64(t.Demand)
		if int(t.Demand) > res.Capacity && t.Start == t.End {
			e.AddClause(t.Present.Not())
		}
	}
	blocked := false
	for _, b := range res.Blocks {
		if b.Units > 0 && b.To > 0 && b.From < b.To {
			total += int64(b.Units)
			blocked = true
		}
	}
	if total <= int64(res.Capacity) {
		return
	}
	if !blocked {
		m.addPairs(tasks, int32(res.Capacity))
	}
	for _, s := range blockSteps(res) {
		v := e.NewVar(int32(s.From), int32(s.From))
		tasks = append(tasks, lcg.Task{Start: v, End: v, EndGap: int32(s.To - s.From),
			Demand: int32(s.Units), Present: lcg.Always})
	}
	e.AddCumulative(tasks, int32(res.Capacity))
}

// addGoals creates a variable for each goal's value.
func (m *model) addGoals() error {
	e := m.e
	m.span = e.NewVar(0, m.horizon)
	for _, end := range m.end {
		m.addLag(end, timeAt{m.span, 0}, 0)
	}
	m.rest = append(m.rest, m.span)
	for k, g := range m.p.goals() {
		if len(g) == 1 && g[0].Kind == Makespan && g[0].Weight == 1 {
			m.goal = append(m.goal, timeAt{m.span, 0})
			continue
		}
		v, base, err := m.addSum(g)
		if err != nil {
			return fmt.Errorf("goal %d: %w", k, err)
		}
		m.rest = append(m.rest, v)
		m.goal = append(m.goal, timeAt{v, base})
	}
	return nil
}

// addSum creates a variable that is at least a goal's sum, less a constant.
func (m *model) addSum(g Goal) (v lcg.Var, base int32, err error) {
	e := m.e
	var sum []lcg.Product
	least, most := int64(0), int64(0) // of the sum without base
	add := func(weight int, v lcg.Var, lo, hi int32) {
		sum = append(sum, lcg.Product{Coef: int32(weight), Var: v})
		least += int64(weight) * int64(lo)
		most += int64(weight) * int64(hi)
	}
	fixed := int64(0)
	for _, t := range g {
		var end timeAt
		if t.Kind != Makespan {
			end = m.end[t.Activity]
		}
		switch t.Kind {
		case Makespan:
			add(t.Weight, m.span, 0, m.horizon)
		case Tardiness:
			late := e.NewVar(0, m.horizon)
			m.addLag(end, timeAt{late, 0}, int32(-t.Due))
			m.rest = append(m.rest, late)
			add(t.Weight, late, 0, m.horizon)
		case Wait:
			from, to := end, m.start[t.Other]
			fixed -= int64(t.Weight) * int64(from.gap)
			sum = append(sum, lcg.Product{Coef: int32(t.Weight), Var: to}, lcg.Product{Coef: int32(-t.Weight), Var: from.v})
			// The lags between the two say more than their bounds do.
			lo, hi := m.gapBetween(t.Activity, t.Other)
			least += int64(t.Weight) * int64(lo+from.gap)
			most += int64(t.Weight) * int64(hi+from.gap)
		case Finish:
			fixed += int64(t.Weight) * int64(end.gap)
			add(t.Weight, end.v, 0, m.horizon)
		case ModeCost:
			if l := m.pick[t.Activity][t.Other]; l == lcg.Always {
				fixed += int64(t.Weight)
			} else {
				add(t.Weight, lcg.Var(l.B/2), 0, 1)
			}
		}
	}
	if max(most, -least, fixed, -fixed) > 1<<30 {
		return 0, 0, fmt.Errorf("weights times horizon exceed %d", 1<<30)
	}
	v = e.NewVar(int32(least), int32(max(least, most)))
	e.AddLinear(append(sum, lcg.Product{Coef: -1, Var: v}), 0)
	return v, int32(fixed), nil
}

// gapBetween bounds the start of next less the finish of first by the lags
// stated between just these two.
func (m *model) gapBetween(first, next int) (lo, hi int32) {
	lo, hi = -m.horizon, m.horizon
	for _, l := range m.p.Lags {
		if l.When != nil {
			continue
		}
		if l.From == FinishOf(first) && l.To == StartOf(next) {
			lo = max(lo, int32(l.Gap))
		}
		if l.From == StartOf(next) && l.To == FinishOf(first) {
			hi = min(hi, int32(-l.Gap))
		}
	}
	return lo, max(lo, hi)
}

// blockSteps merges a resource's blocks into stretches of constant units,
// at most its capacity.
func blockSteps(res *Resource) []Block {
	var cuts []int
	for _, b := range res.Blocks {
		cuts = append(cuts, max(0, b.From), max(0, b.To))
	}
	return stepsBetween(cuts, func(at int) int {
		u := 0
		for _, b := range res.Blocks {
			if b.From <= at && at < b.To {
				u += b.Units
			}
		}
		return min(u, res.Capacity)
	})
}
