package plan

import (
	"strings"

	"shedbell/line"
)

// shortest is when a job would be over at the earliest if it were alone.
func (m *Model) shortest(j int) int {
	t := 0
	for k := range m.jobs[j].stages {
		st := &m.jobs[j].stages[k]
		if st.in != none {
			t += m.ops[st.in].dur
		}
		t += st.run
		for _, o := range st.work {
			t += m.ops[o].dur
		}
		if st.out != none {
			t += m.ops[st.out].dur
		}
	}
	return t
}

// rivals names the other batches with a due time no later than a late one's end.
func (m *Model) rivals(s *schedule, late int) string {
	var names []string
	for j := range m.jobs {
		if j != late && m.jobs[j].due != none && m.jobs[j].due <= m.jobs[late].due {
			names = append(names, m.jobs[j].name)
		}
	}
	return strings.Join(names, ", ")
}

// fansDiffer says whether the first batch on a shared rack would have its fans run
// at another setting than the plan counts with.
func (m *Model) fansDiffer(s *schedule) bool { return len(m.fansWanted(s)) > 0 }

// fansWanted is how the banks will run by the plan where that differs from what it
// counts with.
func (m *Model) fansWanted(s *schedule) map[int]int {
	first := map[int]int{} // per load: instant
	want := map[int]int{}
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			st := &m.jobs[j].stages[k]
			station := s.station[j][k]
			load := m.site.Stations[station].Load
			if st.kind != line.Dry || load == line.NoLoad {
				continue
			}
			at := m.begin(s, j, k)
			if was, ok := first[load]; ok && was <= at {
				continue
			}
			first[load] = at
			want[load] = wants(m.state, station, m.jobs[j].crop)
			if st.first() == none || m.state.Power.Loads[load].On && m.state.LoadUsers(load, line.Nowhere) > 0 {
				want[load] = m.fans[load]
			}
		}
	}
	for load, set := range want {
		if m.fans[load] == set {
			delete(want, load)
		}
	}
	return want
}

func (h *hunt) otherFans() (map[int]int, bool) {
	want := h.m.fansWanted(h.best)
	if len(want) == 0 {
		return nil, false
	}
	for load, set := range h.m.fans {
		if _, ok := want[load]; !ok {
			want[load] = set
		}
	}
	return want, true
}
