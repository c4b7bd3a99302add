package plan

import "strings"

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
