package plan

import (
	"slices"

	"shedbell/line"
	"shedbell/line/plan/sched"
)

// addChanges adds the changes of water. Those that like has decided keep their
// place between the washes, except as far as the water is open.
func (p *problem) addChanges(like *schedule, open waters) {
	m := p.m
	before := map[int]int{} // per tub: end of the change before
	for n, c := range p.changes {
		t := &m.tubs[c.station]
		drain := p.add("water change", t.drain, true)
		refill := p.add("water change", t.refill, true)
		p.out.Lags = append(p.out.Lags, sched.After(drain, refill, t.run))
		p.hold(m.site.Stations[c.station].Name, sched.StartOf(drain), sched.FinishOf(refill),
			sched.Use(p.slotRes[c.station], p.out.Resources[p.slotRes[c.station]].Capacity))
		if load := m.site.Stations[c.station].DrainLoad; load != line.NoLoad {
			p.hold(m.site.Panel.Loads[load].Name, sched.FinishOf(drain), sched.FinishOf(refill), p.amps(load, 0)...)
		}
		if last, ok := before[c.station]; ok {
			p.out.Lags = append(p.out.Lags, sched.After(last, drain, 0))
		}
		before[c.station] = refill
		if open != anyWater {
			p.keepFill(like, n, open == waters(n), drain, refill)
		}
		p.drains, p.refills = append(p.drains, drain), append(p.refills, refill)
	}
	if open != sameWater && len(p.refills) > 0 {
		p.addWaterReturns(like)
	}
	if p.freeTubs && len(m.site.StationsOf(line.Wash)) > 1 {
		p.addWater(like)
	}
}

// addWater keeps each tub's water to what it may see, where it is not changed: from
// its wash on, each batch holds its share of it until the end of the day.
func (p *problem) addWater(like *schedule) {
	m := p.m
	for _, i := range m.site.StationsOf(line.Wash) {
		t := &m.tubs[i]
		share := len(p.out.Resources)
		if t.limit > 0 {
			p.out.Resources = append(p.out.Resources, sched.Resource{Name: "water", Capacity: max(0, t.limit-t.batches)})
		}
		first := len(p.out.Resources)
		for _, pair := range m.state.Sheet.Apart {
			p.out.Resources = append(p.out.Resources, sched.Resource{Name: "water of " + pair[0] + " or " + pair[1], Capacity: 1})
		}
		demands := func(crop string, n int) (d []sched.Demand) {
			if t.limit > 0 && n > 0 {
				d = append(d, sched.Use(share, n))
			}
			for x, pair := range m.state.Sheet.Apart {
				if side := slices.Index(pair[:], crop); side >= 0 {
					d = append(d, sched.Demand{Resource: first + x, Units: 1, Group: side + 1})
				}
			}
			return d
		}
		for _, crop := range t.crops {
			p.hold("water", sched.StartOf(p.now), sched.StartOf(p.end), demands(crop, 0)...)
		}
		for j := range m.jobs {
			for k := range m.jobs[j].stages {
				if st := &m.jobs[j].stages[k]; st.kind == line.Wash && m.jobs[j].batch != 0 && st.first() != none && !st.again {
					p.eachOption(like, j, k, func(o option, when *sched.Choice) {
						if o.station == i {
							p.holdWhen(when, "water", sched.StartOf(st.first()), sched.StartOf(p.end), demands(m.jobs[j].crop, 1)...)
						}
					})
				}
			}
		}
	}
}

// waterLasts says whether no tub's water can ever be used up.
func (m *Model) waterLasts() bool {
	if len(m.state.Sheet.Apart) > 0 {
		return false
	}
	washes := 0
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			washes += boolInt(m.jobs[j].stages[k].kind == line.Wash)
		}
	}
	return !slices.ContainsFunc(m.site.StationsOf(line.Wash), func(i int) bool {
		return m.tubs[i].limit > 0 && m.tubs[i].batches+washes > m.tubs[i].limit
	})
}

// keepFill puts the washes before a change in time before it, and the others after;
// with open, not those that are next to it.
func (p *problem) keepFill(like *schedule, n int, open bool, drain, refill int) {
	m, c := p.m, p.changes[n]
	from, to := 0, farAway // washes that begin within are next to the change
	if n > 0 {
		from = p.changes[n-1].end
	}
	if n+1 < len(p.changes) {
		to = p.changes[n+1].drain
	}
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			st := &m.jobs[j].stages[k]
			if st.kind != line.Wash || like.station[j][k] != c.station || m.jobs[j].batch == 0 {
				continue
			}
			in := m.entered(like, j, k)
			if open && in >= from && in < to {
				continue
			}
			if in >= c.end {
				p.lag(sched.FinishOf(refill), sched.StartOf(st.first()), 0)
			} else if o, atFinish := m.jobs[j].slotFree(k); o != none {
				p.lag(sched.Point{Activity: o, Finish: atFinish}, sched.StartOf(drain), 0)
			}
		}
	}
}

// fewestChanges is how often the water of the only tub has to be changed at least.
// With several tubs nothing is said.
func (m *Model) fewestChanges() []change {
	tubs := m.site.StationsOf(line.Wash)
	if len(tubs) != 1 {
		return nil
	}
	t := &m.tubs[tubs[0]]
	n, crops := t.batches, append([]string(nil), t.crops...)
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			if st := &m.jobs[j].stages[k]; st.kind == line.Wash && m.jobs[j].batch != 0 && st.first() != none && !st.again {
				n++
				crops = append(crops, m.jobs[j].crop)
			}
		}
	}
	need := 0
	if t.limit > 0 && n > 0 {
		need = (n+t.limit-1)/t.limit - 1
	}
	for i := range crops {
		for _, c := range crops[:i] {
			if need == 0 && m.state.Sheet.KeptApart(crops[i], c) {
				need = 1
			}
		}
	}
	out := make([]change, max(0, need))
	for i := range out {
		out[i] = change{station: tubs[0], beforeJob: none}
	}
	return out
}
