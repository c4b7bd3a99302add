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

// option is one way to do a stage: where, and at which setting of its load.
type option struct{ station, setting int }

// choice is the activity whose mode is one of a stage's options.
type choice struct {
	where
	activity int
	options  []option
	runs     bool // its duration is the countdown
}

// addChoice adds an activity with a mode for each way to do a stage, where there are
// several. Where they take differently long, the activity is the countdown.
func (p *problem) addChoice(like *schedule, j, k int) {
	m := p.m
	st := &m.jobs[j].stages[k]
	stations := st.stations
	if st.kind == line.Wash && st.at == line.Nowhere && !p.freeTubs {
		stations = like.station[j][k : k+1]
	}
	c := choice{where: where{j, k}}
	var modes []sched.Mode
	for _, i := range stations {
		for _, set := range m.settings(st, i, m.jobs[j].crop) {
			c.options = append(c.options, option{i, set})
			run := 0
			if st.runAt != nil {
				run = st.runAt[fanAt{m.site.Stations[i].Load, set}]
			}
			modes = append(modes, sched.Mode{Duration: run})
			c.runs = c.runs || run != modes[0].Duration
		}
	}
	if len(c.options) < 2 || st.kind == line.Chill {
		return
	}
	c.activity = len(p.out.Activities)
	if !c.runs {
		clear(modes)
	}
	p.out.Activities = append(p.out.Activities, sched.Activity{Name: m.jobs[j].name + " choice", Modes: modes, Fixed: !c.runs})
	if c.runs {
		p.lag(p.begins(j, k), sched.StartOf(c.activity), 0)
		p.lag(sched.StartOf(c.activity), p.begins(j, k), 0)
	}
	p.choices = append(p.choices, c)
}

func (p *problem) choiceOf(j, k int) *choice {
	for i := range p.choices {
		if p.choices[i].where == (where{j, k}) {
			return &p.choices[i]
		}
	}
	return nil
}

// eachOption calls f with every way to do a stage, and with the mode in which it is
// done so; nil where there is no choice.
func (p *problem) eachOption(like *schedule, j, k int, f func(o option, when *sched.Choice)) {
	c := p.choiceOf(j, k)
	if c == nil {
		f(option{like.station[j][k], p.m.setting(like, j, k)}, nil)
		return
	}
	for mode, o := range c.options {
		f(o, &sched.Choice{Activity: c.activity, Mode: mode})
	}
}

// strays counts the batches that dry at another setting than their recipe's, and those
// that stand before their machine is started.
func (p *problem) strays() sched.Goal {
	var out sched.Goal
	m := p.m
	for o := range m.ops {
		if m.ops[o].role == switchOn && m.ops[o].optional {
			out = append(out, sched.Term{Kind: sched.ModeCost, Activity: o, Other: 1, Weight: 1})
		}
	}
	for _, c := range p.choices {
		for mode, o := range c.options {
			if m.jobs[c.job].stages[c.stage].kind == line.Dry && o.setting != wants(m.state, o.station, m.jobs[c.job].crop) {
				out = append(out, sched.Term{Kind: sched.ModeCost, Activity: c.activity, Other: mode, Weight: 1})
			}
		}
	}
	return out
}
