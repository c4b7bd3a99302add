package plan

import (
	"maps"

	"shedbell/line"
)

// A bank of fans that is off starts at the setting that the recipe of the first
// batch on it wants, and stays there for those that come later. A model counts with
// one setting for each bank; a schedule agrees with it if its first batch does.

// bankSettings is the setting that each shared bank is taken to run at: as it runs
// now, or else as the first batch of the sheet wants it.
func bankSettings(s *line.State) map[int]int {
	out := map[int]int{}
	for _, i := range s.Site.StationsOf(line.Dry) {
		load := s.Site.Stations[i].Load
		if load == line.NoLoad {
			continue
		}
		if st := s.Power.Loads[load]; st.On && s.LoadUsers(load, line.Nowhere) > 0 {
			out[load] = st.Setting
			continue
		}
		for b := range s.Batches {
			if f := s.Batches[b].Fate; f == line.Waiting || f == line.OnLine {
				out[load] = wants(s, i, s.Batches[b].Crop)
				break
			}
		}
	}
	return out
}

// wants is the setting that a crop's recipe asks of a dry station.
func wants(s *line.State, station int, crop string) int {
	st := &s.Site.Stations[station]
	load := &s.Site.Panel.Loads[st.Load]
	name := st.Setting
	if name == "" && len(load.Settings) > 1 {
		r, _ := s.Recipe(crop)
		name = r.Fan
	}
	setting, _ := load.SettingByName(name)
	return setting
}

// settings lists the settings that are worth a model: what a bank runs at, what the
// plan before counts with, or else what some batch wants.
func settings(s *line.State, previous *Plan) []map[int]int {
	first := bankSettings(s)
	out := []map[int]int{first}
	racks := s.Site.StationsOf(line.Dry)
	if len(racks) != 1 || s.Site.Stations[racks[0]].Load == line.NoLoad {
		return out
	}
	load := s.Site.Stations[racks[0]].Load
	if s.Power.Loads[load].On && s.LoadUsers(load, line.Nowhere) > 0 {
		return out
	}
	if previous != nil {
		if set, ok := previous.m.fans[load]; ok {
			first[load] = set
		}
	}
	seen := map[int]bool{first[load]: true}
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Fate != line.Waiting && b.Fate != line.OnLine {
			continue
		}
		if set := wants(s, racks[0], b.Crop); !seen[set] {
			seen[set] = true
			other := maps.Clone(first)
			other[load] = set
			out = append(out, other)
		}
	}
	return out
}

// onRack is a batch's stay on a bank that it may be the first to use.
type onRack struct {
	where
	load  int
	agree bool // wants the setting that the model counts with
}

// racked lists the stays on banks that do not run yet.
func (m *Model) racked(s *schedule) []onRack {
	var out []onRack
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			station := s.station[j][k]
			load := m.site.Stations[station].Load
			if m.jobs[j].stages[k].kind != line.Dry || m.jobs[j].stages[k].first() == none || load == line.NoLoad ||
				m.state.Power.Loads[load].On && m.state.LoadUsers(load, line.Nowhere) > 0 {
				continue
			}
			out = append(out, onRack{where{j, k}, load, wants(m.state, station, m.jobs[j].crop) == m.fans[load]})
		}
	}
	return out
}

// firstOn is the first stay on a bank, among those that agree with the model if
// only they are asked for; job none if there is none.
func (m *Model) firstOn(s *schedule, stays []onRack, load int, agree bool) onRack {
	first := onRack{where: where{job: none}}
	for _, r := range stays {
		if r.load == load && (r.agree || !agree) &&
			(first.job == none || m.begin(s, r.job, r.stage) < m.begin(s, first.job, first.stage)) {
			first = r
		}
	}
	return first
}

// fansAgree says whether every bank runs by the schedule as the model counts with.
func (m *Model) fansAgree(s *schedule) bool {
	stays := m.racked(s)
	for load := range m.fans {
		if r := m.firstOn(s, stays, load, false); r.job != none && !r.agree {
			return false
		}
	}
	return true
}

// keepFans lets no batch that wants another setting be the first on its bank.
func (p *problem) keepFans(like *schedule) {
	m := p.m
	stays := m.racked(like)
	for _, r := range stays {
		if r.agree {
			continue
		}
		first := m.firstOn(like, stays, r.load, true)
		if first.job == none {
			continue
		}
		p.lag(p.begins(first.job, first.stage), p.begins(r.job, r.stage), 1)
		p.narrow = true
	}
}
