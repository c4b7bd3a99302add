package plan

import (
	"shedbell/line"
	"shedbell/line/plan/sched"
)

// addBanks is a resource for each bank that has a choice of settings. Whoever dries
// on it takes the one unit that there is, and shares it with those at the same
// setting only.
func (p *problem) addBanks() {
	p.banks = map[int]int{}
	for load := range p.m.site.Panel.Loads {
		if p.m.hasChoice(load) {
			p.banks[load] = len(p.out.Resources)
			p.out.Resources = append(p.out.Resources, sched.Resource{Name: "setting of " + p.m.site.Panel.Loads[load].Name, Capacity: 1})
		}
	}
}

// hasChoice says whether a bank could run at different settings during the day.
func (m *Model) hasChoice(load int) bool {
	seen := none
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			st := &m.jobs[j].stages[k]
			for _, i := range st.stations {
				if st.kind != line.Dry || !st.power || m.site.Stations[i].Load != load {
					continue
				}
				for _, set := range m.settings(st, i, m.jobs[j].crop) {
					if seen != none && set != seen {
						return true
					}
					seen = set
				}
			}
		}
	}
	return false
}

// addChoice makes the countdown of a stay on a rack an activity with a mode for each
// setting, where there are several.
func (p *problem) addChoice(j, k, station int) {
	m := p.m
	st := &m.jobs[j].stages[k]
	all := m.settings(st, station, m.jobs[j].crop)
	if st.kind != line.Dry || len(all) < 2 {
		return
	}
	var modes []sched.Mode
	for _, set := range all {
		modes = append(modes, sched.Mode{Duration: st.runAt[fanAt{m.site.Stations[station].Load, set}]})
	}
	x := len(p.out.Activities)
	p.out.Activities = append(p.out.Activities, sched.Activity{Name: m.jobs[j].name + " dries", Modes: modes})
	p.lag(p.begins(j, k), sched.StartOf(x), 0)
	p.lag(sched.StartOf(x), p.begins(j, k), 0)
	p.choices = append(p.choices, choice{where{j, k}, station, x, all})
}

// choice is the activity whose mode is a stage's setting.
type choice struct {
	where
	station  int
	activity int
	settings []int
}

func (p *problem) choiceOf(j, k int) *choice {
	for i := range p.choices {
		if p.choices[i].where == (where{j, k}) {
			return &p.choices[i]
		}
	}
	return nil
}

// strays counts the batches that dry at another setting than their recipe's.
func (p *problem) strays() sched.Goal {
	var out sched.Goal
	m := p.m
	for _, c := range p.choices {
		own := wants(m.state, c.station, m.jobs[c.job].crop)
		for mode, set := range c.settings {
			if set != own {
				out = append(out, sched.Term{Kind: sched.ModeCost, Activity: c.activity, Other: mode, Weight: 1})
			}
		}
	}
	return out
}

// holdFans takes what a stay on a rack needs: amps, and its bank's setting.
func (p *problem) holdFans(like *schedule, j, k, load int, from, to sched.Point) {
	name := p.m.site.Panel.Loads[load].Name
	demands := func(set int) []sched.Demand {
		d := p.amps(load, set)
		if bank, ok := p.banks[load]; ok {
			d = append(d, sched.Demand{Resource: bank, Units: 1, Group: set + 1})
		}
		return d
	}
	c := p.choiceOf(j, k)
	if c == nil {
		p.hold(name, from, to, demands(p.m.setting(like, j, k))...)
		return
	}
	for mode, set := range c.settings {
		p.hold(name, from, to, demands(set)...)
		p.out.Holds[len(p.out.Holds)-1].When = &sched.Choice{Activity: c.activity, Mode: mode}
	}
}
