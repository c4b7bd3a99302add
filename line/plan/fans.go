package plan

import (
	"slices"

	"shedbell/line"
)

// A bank of fans runs at one setting as long as any greens dry on it. Each time it
// starts, a plan chooses the setting anew: one that a recipe of the day asks for, or
// a lower one where the amps are scarce.

// fanAt is a load at a setting; NoLoad and 0 for a rack without fans.
type fanAt struct{ load, setting int }

// addFans notes the settings that each bank may start at.
func (m *Model) addFans() {
	m.fans = map[int][]int{}
	for _, i := range m.site.StationsOf(line.Dry) {
		load := m.site.Stations[i].Load
		if load == line.NoLoad {
			continue
		}
		amps := m.site.Panel.Loads[load].Settings
		for b := range m.state.Batches {
			if f := m.state.Batches[b].Fate; f != line.Waiting && f != line.OnLine {
				continue
			}
			if step := &m.state.Batches[b].Step; step.Active() && step.Load == load {
				m.allow(load, m.runsAt(step)) // others may have to join
			}
			asked := wants(m.state, i, m.state.Batches[b].Crop)
			m.allow(load, asked)
			for set := range amps {
				if m.site.Stations[i].Setting == "" && amps[set].AmpsA > 0 && amps[set].AmpsA < amps[asked].AmpsA {
					m.allow(load, set)
				}
			}
		}
	}
}

func (m *Model) allow(load, setting int) {
	if !slices.Contains(m.fans[load], setting) {
		m.fans[load] = append(m.fans[load], setting)
		slices.Sort(m.fans[load])
	}
}

// fitFans drops the settings that can never be switched on, and those below what the
// recipes ask for on banks whose amps are not scarce.
func (m *Model) fitFans() {
	for load, all := range m.fans {
		asked, scarce := m.asked(load), false
		fits := func(set int) bool {
			return !slices.ContainsFunc(m.mains, func(c mains) bool { return c.need(load, set) > c.limit })
		}
		for _, c := range m.mains {
			for _, set := range all {
				scarce = scarce || c.need(load, set) != c.need(load, all[0])
			}
		}
		m.fans[load] = slices.DeleteFunc(all, func(set int) bool {
			return !fits(set) || !scarce && !slices.Contains(asked, set)
		})
	}
}

// runsAt is the setting at which the load of a step that has begun runs or will go
// on: as its bank runs for others, or else as it did.
func (m *Model) runsAt(step *line.Step) int {
	if setting, on := m.state.Power.Loads[step.Load].InBooks(); on && m.state.LoadUsers(step.Load, line.Nowhere) > 0 {
		return setting
	}
	return step.Setting
}

// asked lists the settings of a load that the recipes of its batches ask for, or that
// it runs at.
func (m *Model) asked(load int) []int {
	var out []int
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			for _, i := range m.jobs[j].stages[k].stations {
				if st := &m.site.Stations[i]; st.Kind == line.Dry && st.Load == load {
					if set := m.jobs[j].stages[k].fan; set != none {
						out = append(out, set)
					}
					out = append(out, wants(m.state, i, m.jobs[j].crop))
				}
			}
		}
	}
	return out
}

// fanSettings lists the settings among which a plan has a choice; none where there is
// only one.
func (m *Model) fanSettings() []int {
	var out []int
	for load, all := range m.fans {
		if m.hasChoice(load) {
			out = append(out, all...)
		}
	}
	slices.Sort(out)
	if out = slices.Compact(out); len(out) < 2 {
		return nil
	}
	return out
}

// wants is the setting that a station, or else a crop's recipe, asks of its load.
func wants(s *line.State, station int, crop string) int {
	st := &s.Site.Stations[station]
	if st.Load == line.NoLoad {
		return 0
	}
	load := &s.Site.Panel.Loads[st.Load]
	name := st.Setting
	if name == "" && st.Kind == line.Dry && len(load.Settings) > 1 {
		r, _ := s.Recipe(crop)
		name = r.Fan
	}
	setting, _ := load.SettingByName(name)
	return setting
}

// setting is the one at which a stage's load runs.
func (m *Model) setting(s *schedule, j, k int) int {
	st, station := &m.jobs[j].stages[k], s.station[j][k]
	switch {
	case st.fan != none:
		return st.fan
	case st.kind == line.Dry && m.site.Stations[station].Load != line.NoLoad:
		return s.fan[j][k]
	}
	return wants(m.state, station, m.jobs[j].crop)
}

// settings are those that a stage at a station may run at.
func (m *Model) settings(st *stage, station int, crop string) []int {
	load := m.site.Stations[station].Load
	switch {
	case st.fan != none:
		return []int{st.fan}
	case st.kind == line.Dry && load != line.NoLoad:
		return m.fans[load]
	}
	return []int{wants(m.state, station, crop)}
}

// ownFan is the setting that a batch would have by itself: its recipe's or, where
// that cannot be, the highest that can.
func (m *Model) ownFan(j, station int) int {
	load := m.site.Stations[station].Load
	set := wants(m.state, station, m.jobs[j].crop)
	if all := m.fans[load]; len(all) > 0 && !slices.Contains(all, set) {
		return all[len(all)-1]
	}
	return set
}

// run is how long a stage's countdown runs.
func (m *Model) run(s *schedule, j, k int) int {
	st := &m.jobs[j].stages[k]
	if st.runAt == nil {
		if m.leftOut(s, j) {
			return 0
		}
		return st.run
	}
	return st.runAt[fanAt{m.site.Stations[s.station[j][k]].Load, m.setting(s, j, k)}]
}
