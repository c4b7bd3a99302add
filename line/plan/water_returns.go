package plan

import (
	"shedbell/line"
	"shedbell/line/plan/sched"
)

// waterReturn is the activity with which a wash gives its share of the water back.
type waterReturn struct {
	activity int
	wash     wash
}

// hintWaterReturns gives every share back at the first change after its wash.
func (p *problem) hintWaterReturns(start []int, like *schedule) {
	if p.over == none {
		return
	}
	last := 0
	left := func(w wash) int {
		if w.job == none {
			return 0
		}
		return p.m.left(like, w.job, w.stage)
	}
	for _, t := range p.waterReturns {
		last = max(last, left(t.wash))
	}
	start[p.over] = last
	for _, t := range p.waterReturns {
		start[t.activity] = last
		for _, c := range like.changes {
			if c.refill >= left(t.wash) {
				start[t.activity] = min(start[t.activity], c.refill)
			}
		}
	}
}

// addWaterReturns lets the solver itself share out the water of the only tub. From its
// wash on, each batch holds a share of the water, and its crop holds what must not
// be shared with other crops; both are given back in the moment of a change of
// water, or when the last wash is over. There are as many changes as p.changes.
func (p *problem) addWaterReturns(like *schedule) {
	m := p.m
	station := m.site.StationsOf(line.Wash)[0]
	t := &m.tubs[station]
	washes := m.washes(like, station)
	gate := p.addGate(washes)
	share := none
	if t.limit > 0 {
		share = len(p.out.Resources)
		p.out.Resources = append(p.out.Resources, sched.Resource{Name: "water", Capacity: t.limit})
	}
	apart, group := p.addApart(washes)
	demands := func(crop string, n int) []sched.Demand {
		var d []sched.Demand
		if share != none && n > 0 {
			d = append(d, sched.Use(share, n))
		}
		for i, pair := range apart {
			for side, c := range pair {
				if c == crop {
					d = append(d, sched.Demand{Resource: group + i, Units: 1, Group: side + 1})
				}
			}
		}
		return d
	}
	give := func(name string, w wash) int {
		x := p.add("water of "+name, 1, false)
		p.waterReturns = append(p.waterReturns, waterReturn{x, w})
		a := &p.out.Activities[x]
		a.Modes[0].Demands = append(a.Modes[0].Demands, sched.Use(gate, 1))
		return x
	}
	if d := demands("", t.batches); t.batches > 0 {
		x := give("those before", wash{job: none})
		for _, crop := range t.crops {
			d = append(d, demands(crop, 0)...)
		}
		p.hold("water", sched.StartOf(p.now), sched.FinishOf(x), d...)
	}
	for _, w := range washes {
		jb := &m.jobs[w.job]
		x := give(jb.name, w)
		o, atFinish := jb.slotFree(w.stage)
		p.lag(sched.Point{Activity: o, Finish: atFinish}, sched.StartOf(x), 0)
		p.hold("water", sched.StartOf(jb.stages[w.stage].first()), sched.FinishOf(x), demands(jb.crop, 1)...)
	}
}

// addGate is a resource that is there only while the water is changed and after the
// last wash.
func (p *problem) addGate(washes []wash) int {
	m := p.m
	all := len(washes) + 1
	gate := len(p.out.Resources)
	p.out.Resources = append(p.out.Resources, sched.Resource{Name: "water changed", Capacity: all})
	from := sched.StartOf(p.now)
	for _, r := range p.refills {
		p.hold("water used", from, sched.StartOf(r), sched.Use(gate, all))
		from = sched.FinishOf(r)
	}
	p.over = p.add("last wash over", 0, false)
	for _, w := range washes {
		o, atFinish := m.jobs[w.job].slotFree(w.stage)
		p.lag(sched.Point{Activity: o, Finish: atFinish}, sched.StartOf(p.over), 0)
	}
	p.hold("water used", from, sched.StartOf(p.over), sched.Use(gate, all))
	return gate
}

// addApart is a resource for each pair of crops of the day that must not share
// water.
func (p *problem) addApart(washes []wash) (pairs [][2]string, first int) {
	m := p.m
	first = len(p.out.Resources)
	crops := map[string]bool{}
	for _, c := range m.tubs[m.site.StationsOf(line.Wash)[0]].crops {
		crops[c] = true
	}
	for _, w := range washes {
		crops[m.jobs[w.job].crop] = true
	}
	for _, pair := range m.state.Sheet.Apart {
		if crops[pair[0]] && crops[pair[1]] && pair[0] != pair[1] {
			pairs = append(pairs, pair)
			p.out.Resources = append(p.out.Resources, sched.Resource{Name: "water of " + pair[0] + " or " + pair[1], Capacity: 1})
		}
	}
	return pairs, first
}
