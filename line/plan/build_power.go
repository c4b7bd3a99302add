package plan

import (
	"math"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/power"
)

// Currents are planned in tenths of an ampere, rounded against the plan.
const perAmp = 10

const roundingA = 1e-6

func tenths(amps float64) int { return int(math.Ceil(amps*perAmp - roundingA)) }

// continuous is the factor for what is on for three hours or more: NEC 210.20(A).
const continuous = 1.25

func counted(l *power.Load, setting int) int {
	a := l.Settings[setting].AmpsA
	if l.Continuous {
		a *= continuous
	}
	return tenths(a)
}

// addMains adds the limits that the machines of the plan could meet: circuits and
// feeders less what is kept free on them, and loads that run alone.
func (m *Model) addMains(no *Impossible) {
	p := &m.site.Panel
	m.checkAmps(no)
	for c := range p.Circuits {
		limit := int(math.Floor(p.LimitA(c)*perAmp+roundingA)) - m.kept(func(i int) bool { return i == c })
		m.addLimit(p.Circuits[c].Name, limit, func(load, setting int) int {
			if p.Loads[load].Circuit != c {
				return 0
			}
			return counted(&p.Loads[load], setting)
		})
	}
	for f := range p.Feeders {
		for _, leg := range []power.Leg{power.LegA, power.LegB} {
			on := func(c int) bool {
				k := &p.Circuits[c]
				return k.Feeder == p.Feeders[f].Name && (k.Leg == leg || k.Leg == power.LegBoth || k.Leg == power.LegNone)
			}
			limit := int(math.Floor(p.Feeders[f].RatingA*perAmp+roundingA)) - m.kept(on)
			m.addLimit(p.Feeders[f].Name, limit, func(load, setting int) int {
				if !on(p.Loads[load].Circuit) {
					return 0
				}
				return counted(&p.Loads[load], setting)
			})
		}
	}
	const everything = 1000
	m.addLimit("what runs alone", everything, func(load, setting int) int {
		switch {
		case p.Loads[load].StaysOn:
			return 0
		case p.Loads[load].Alone:
			return everything
		}
		return 1
	})
}

// kept is what stays free on some circuits for loads that start by themselves,
// stay on or have been switched on by hand, in tenths of an ampere.
func (m *Model) kept(on func(circuit int) bool) int {
	p := &m.site.Panel
	sum := 0
	for i := range p.Loads {
		l, st := &p.Loads[i], &m.state.Power.Loads[i]
		if !on(l.Circuit) || m.state.Power.Open(l.Circuit) {
			continue
		}
		_, on := st.InBooks() // what is in doubt is asked about before the plan begins
		switch {
		case l.Cycles && !st.DeclaredOff:
			sum += tenths(l.WorstA())
		case l.StaysOn, on && m.state.LoadUsers(i, line.Nowhere) == 0 && !m.served(i):
			sum += counted(l, st.Setting)
		}
	}
	return sum
}

// served says whether a station of the plan uses the load, so that the plan counts
// it where it is used.
func (m *Model) served(load int) bool {
	for i := range m.site.Stations {
		if st := &m.site.Stations[i]; st.Load == load || st.Kind == line.Wash && st.DrainLoad == load {
			return true
		}
	}
	return false
}

// checkAmps names the machines that the line could never switch on.
func (m *Model) checkAmps(no *Impossible) {
	p := &m.site.Panel
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			st := &m.jobs[j].stages[k]
			for _, i := range st.stations {
				load := m.site.Stations[i].Load
				if load == line.NoLoad || !st.power {
					continue
				}
				c := p.Loads[load].Circuit
				a := math.Inf(1)
				for _, set := range m.settings(st, i, m.jobs[j].crop) {
					a = min(a, p.Loads[load].Settings[set].AmpsA)
				}
				room := p.LimitA(c) - float64(m.kept(func(x int) bool { return x == c }))/perAmp
				if !(a > 0) {
					no.add(say.New("plan-why.needs-whose-amps-not", m.jobs[j].said(), p.Loads[load].Name))
				} else if a > room+roundingA {
					no.add(say.New("plan-why.needs-but-leaves-only", m.jobs[j].said(), p.Loads[load].Name, a, p.Circuits[c].Name, room))
				}
			}
		}
	}
}

// addLimit keeps a limit only if the machines of the plan could reach it all
// together; most circuits of a shed never do, and the search is quicker without.
// A load counts once, however many slots it serves.
func (m *Model) addLimit(name string, limit int, need func(load, setting int) int) {
	most := map[int]int{}
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			st := &m.jobs[j].stages[k]
			for _, i := range st.stations {
				if load := m.site.Stations[i].Load; st.power && load != line.NoLoad && !m.keptApart(&m.jobs[j], load) {
					for _, set := range m.settings(st, i, m.jobs[j].crop) {
						most[load] = max(most[load], need(load, set))
					}
				}
				if drain := m.site.Stations[i].DrainLoad; st.kind == line.Wash && drain != line.NoLoad {
					most[drain] = max(most[drain], need(drain, 0))
				}
			}
		}
	}
	sum := 0
	for _, n := range most {
		sum += n
	}
	if sum > limit {
		m.mains = append(m.mains, mains{name, limit, need})
	}
}

// keptApart says whether links keep a chore that runs alone apart from every other
// machine anyway.
func (m *Model) keptApart(j *job, load int) bool {
	return j.batch == 0 && j.stages[0].at == line.Nowhere && m.site.Panel.Loads[load].Alone
}
