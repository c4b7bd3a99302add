package plan

import (
	"slices"

	"shedbell/line"
	"shedbell/line/plan/sched"
)

// problem states a model for the solver. Which water each batch gets is taken from a
// schedule, and with changes of water also which tub; everything else is open.
type problem struct {
	m   *Model
	out *sched.Problem
	now int // the activity that stands for the present instant
	end int // and the one that stands for the end of the day

	late, spoilt bool // whether there are such goals
	freeTubs     bool // which tub a batch is washed in is a choice

	slotRes      []int
	mainRes      []int
	changes      []change
	drains       []int // activities of the changes
	refills      []int
	over         int // the end of the last wash, where the solver shares out the water
	waterReturns []waterReturn
	banks        map[int]int // resource of each bank that has a choice of settings, by load
	choices      []choice
}

// waters says which batches may come to share another water than like has it.
type waters int

const (
	sameWater waters = -1
	anyWater  waters = -2
	// A number from 0 on: those just before and just after that change.
)

// newProblem fixes what like has decided about the water. Other waters than the same
// are for a line with one tub.
func (m *Model) newProblem(like *schedule, open waters) *problem {
	p := &problem{m: m, out: &sched.Problem{}, changes: like.changes, over: none, freeTubs: len(like.changes) == 0}
	p.addResources()
	for o := range m.ops {
		op := &m.ops[o]
		p.out.Activities = append(p.out.Activities, sched.Activity{Name: m.opName(o), Release: op.release, Modes: op.modes()})
	}
	p.now, p.end = p.add("now", 0, false), p.add("end of the day", 0, false)
	p.out.Activities[p.now].Fixed = true
	for j := range m.jobs {
		p.addJob(like, j)
	}
	for _, l := range m.links {
		p.out.Lags = append(p.out.Lags, sched.After(l.from, l.to, 0))
	}
	for _, l := range m.starts {
		p.lag(sched.StartOf(l.from), sched.StartOf(l.to), 0)
	}
	for j := range m.jobs {
		if len(m.jobs[j].stages) > 0 && m.jobs[j].end() != none {
			p.lag(sched.FinishOf(m.jobs[j].end()), sched.StartOf(p.end), 0)
		}
	}
	p.addPools()
	p.addChanges(like, open)
	p.addGoals()
	return p
}

// modes are the ways in which an op may be done.
func (o *op) modes() []sched.Mode {
	done := sched.Mode{Duration: o.dur, Demands: []sched.Demand{sched.Use(0, 1)}}
	switch {
	case o.sizes != nil:
		out := slices.Repeat([]sched.Mode{done}, len(o.sizes))
		if o.optional {
			out[0] = sched.Mode{}
		}
		return out
	case o.optional:
		return []sched.Mode{{}, done}
	case o.with > 0: // its hands are held where it is done
		return []sched.Mode{{Duration: o.dur}}
	}
	return []sched.Mode{done}
}

func (p *problem) add(name string, dur int, hands bool) int {
	a := sched.Simple(name, dur)
	if hands {
		a = sched.Simple(name, dur, sched.Use(0, 1))
	}
	p.out.Activities = append(p.out.Activities, a)
	return len(p.out.Activities) - 1
}

func (p *problem) addResources() {
	m := p.m
	hands := sched.Resource{Name: "hands", Capacity: m.crew}
	for _, b := range m.away {
		hands.Blocks = append(hands.Blocks, sched.Block{From: b.from, To: b.to, Units: b.people})
	}
	p.out.Resources = []sched.Resource{hands}
	for i := range m.site.Stations {
		st := &m.site.Stations[i]
		p.slotRes = append(p.slotRes, len(p.out.Resources))
		p.out.Resources = append(p.out.Resources, sched.Resource{Name: st.Name, Capacity: len(m.slots[i])})
	}
	for _, c := range m.mains {
		p.mainRes = append(p.mainRes, len(p.out.Resources))
		p.out.Resources = append(p.out.Resources, sched.Resource{Name: c.name, Capacity: c.limit})
	}
	p.addBanks()
}

func (p *problem) lag(from, to sched.Point, gap int) {
	p.out.Lags = append(p.out.Lags, sched.Between(from, to, gap))
}

// begins is the instant at which a stage's step starts.
func (p *problem) begins(j, k int) sched.Point {
	st := &p.m.jobs[j].stages[k]
	switch {
	case st.starter() != none:
		return sched.FinishOf(st.starter())
	case len(st.work) > 0:
		return sched.StartOf(st.work[0])
	}
	return sched.StartOf(p.now)
}

// ends is the instant from which a stage's countdown or work is over: so long after
// a point.
func (p *problem) ends(like *schedule, j, k int) (pt sched.Point, gap int) {
	st := &p.m.jobs[j].stages[k]
	if n := len(st.work); n > 0 {
		return sched.FinishOf(st.work[n-1]), 0
	}
	if c := p.choiceOf(j, k); c != nil && c.runs {
		return sched.FinishOf(c.activity), 0
	}
	if st.runAt == nil {
		return p.begins(j, k), st.run // also where like leaves it out
	}
	return p.begins(j, k), p.m.run(like, j, k)
}

func (p *problem) addJob(like *schedule, j int) {
	jb := &p.m.jobs[j]
	for k := range jb.stages {
		st := &jb.stages[k]
		for n := 1; n < len(st.work); n++ {
			p.lag(sched.FinishOf(st.work[n-1]), sched.StartOf(st.work[n]), 0)
		}
		if st.on != none {
			p.lag(sched.FinishOf(st.in), sched.StartOf(st.on), 0)
			p.out.Lags = append(p.out.Lags, sched.Lag{From: sched.StartOf(st.on), To: sched.FinishOf(st.in), When: &sched.Choice{Activity: st.on}})
		}
		p.addChoice(like, j, k)
		end, gap := p.ends(like, j, k)
		if next := jb.after(k); next != none {
			p.eachTurn(j, func(when *sched.Choice) {
				p.out.Lags = append(p.out.Lags, sched.Lag{From: end, To: sched.StartOf(next), Gap: gap, When: when})
				if when != nil {
					p.holdWhen(when, "hands", sched.StartOf(next), sched.FinishOf(next), sched.Use(0, 1))
				}
			})
		}
		if k+1 < len(jb.stages) {
			if st.out != none {
				p.lag(sched.FinishOf(st.out), sched.StartOf(jb.stages[k+1].first()), 0)
			}
			if st.wet != none && !st.soft {
				p.lag(p.begins(j, k+1), end, -gap-st.wet)
			}
		}
		p.holdSlot(like, j, k)
		p.holdPower(like, j, k)
	}
}

// eachTurn calls f with every mode in which an optional job is done; with nil for one
// that is no option.
func (p *problem) eachTurn(j int, f func(when *sched.Choice)) {
	first := p.m.jobs[j].first()
	if p.m.jobs[j].batch != 0 || first == none || !p.m.ops[first].optional {
		f(nil)
		return
	}
	for mode := 1; mode < len(p.m.ops[first].sizes); mode++ {
		f(&sched.Choice{Activity: first, Mode: mode})
	}
}

func (p *problem) holdSlot(like *schedule, j, k int) {
	jb := &p.m.jobs[j]
	st := &jb.stages[k]
	if st.kind == line.Chill || p.m.stuck(st) {
		return
	}
	from, to := sched.StartOf(p.now), sched.StartOf(p.now)
	if st.at == line.Nowhere {
		from = sched.StartOf(st.first())
	}
	if o, atFinish := jb.slotFree(k); o != none {
		to = sched.Point{Activity: o, Finish: atFinish}
	}
	p.eachOption(like, j, k, func(o option, when *sched.Choice) {
		p.eachTurn(j, func(turn *sched.Choice) {
			if turn != nil {
				when = turn
			}
			p.holdWhen(when, p.m.site.Stations[o.station].Name, from, to, sched.Use(p.slotRes[o.station], 1))
		})
	})
}

func (p *problem) hold(name string, from, to sched.Point, d ...sched.Demand) {
	p.holdWhen(nil, name, from, to, d...)
}

func (p *problem) holdWhen(when *sched.Choice, name string, from, to sched.Point, d ...sched.Demand) {
	if from != to && len(d) > 0 {
		p.out.Holds = append(p.out.Holds, sched.Hold{Name: name, From: from, To: to, Demands: d, When: when})
	}
}

// holdPower takes what a machine needs while it runs: amps and, on a rack, its bank's
// setting.
func (p *problem) holdPower(like *schedule, j, k int) {
	jb := &p.m.jobs[j]
	st := &jb.stages[k]
	leaves := jb.leaves(k)
	if !st.power || leaves == none {
		return
	}
	from := sched.StartOf(p.now)
	if st.at == line.Nowhere || st.idle {
		from = p.begins(j, k)
	}
	p.eachOption(like, j, k, func(o option, when *sched.Choice) {
		load := p.m.site.Stations[o.station].Load
		if load == line.NoLoad {
			return
		}
		d := p.amps(load, o.setting)
		if bank, ok := p.banks[load]; ok && st.kind == line.Dry {
			d = append(d, sched.Demand{Resource: bank, Units: 1, Group: o.setting + 1})
		}
		p.holdWhen(when, p.m.site.Panel.Loads[load].Name, from, sched.FinishOf(leaves), d...)
	})
}

// amps is what a load takes; one load counts once, whoever keeps it on.
func (p *problem) amps(load, setting int) []sched.Demand {
	var out []sched.Demand
	for i := range p.m.mains {
		if n := p.m.mains[i].need(load, setting); n > 0 {
			out = append(out, sched.Demand{Resource: p.mainRes[i], Units: n, Group: load + 1})
		}
	}
	return out
}

func (p *problem) addGoals() {
	var late, spoilt, wet sched.Goal
	m := p.m
	for j := range m.jobs {
		jb := &m.jobs[j]
		if jb.due != none && len(jb.stages) > 0 {
			late = append(late, sched.Term{Kind: sched.Tardiness, Activity: jb.end(), Due: jb.due, Weight: 1})
		}
		for k := range jb.stages {
			st := &jb.stages[k]
			if st.hurry != none {
				spoilt = append(spoilt, sched.Term{Kind: sched.Tardiness, Activity: st.starter(), Due: st.hurry, Weight: 1})
			}
			if k+1 == len(jb.stages) || st.kind != line.Wash && st.kind != line.Spin {
				continue
			}
			next := jb.stages[k+1].first()
			if on := jb.stages[k+1].on; on != none {
				next = on
			}
			if st.soft && st.wet != none && jb.stages[k+1].in != none {
				spoilt = append(spoilt, sched.Term{Kind: sched.Tardiness, Activity: next, Due: max(0, st.run+st.wet), Weight: 1})
			}
			from := p.now
			if st.first() != none {
				from = st.first()
			}
			wet = append(wet, sched.Term{Kind: sched.Wait, Activity: from, Other: next, Weight: 1})
		}
	}
	p.late, p.spoilt = len(late) > 0, len(spoilt) > 0
	if p.late {
		p.out.Goals = append(p.out.Goals, late)
	}
	if p.spoilt {
		p.out.Goals = append(p.out.Goals, spoilt)
	}
	p.out.Goals = append(p.out.Goals, sched.Goal{{Kind: sched.Makespan, Weight: 1}})
	if len(wet) > 0 {
		p.out.Goals = append(p.out.Goals, wet)
	}
	if strays := p.strays(); len(strays) > 0 {
		p.out.Goals = append(p.out.Goals, strays)
	}
}

// early gives the values of the goals before the end of the day.
func (p *problem) early(v values) []int {
	var out []int
	if p.late {
		out = append(out, v.late)
	}
	if p.spoilt {
		out = append(out, v.spoilt)
	}
	return out
}

// span is which of the problem's goals is the end of the day.
func (p *problem) span() int {
	for i, g := range p.out.Goals {
		if g[0].Kind == sched.Makespan {
			return i
		}
	}
	return none
}
