package plan

import (
	"cmp"
	"slices"

	"shedbell/line"
)

// wash is one batch's stay in a tub.
type wash struct{ job, stage, from int }

// washes lists the washes still to begin in a tub, by start.
func (m *Model) washes(s *schedule, station int) []wash {
	var out []wash
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			st := &m.jobs[j].stages[k]
			if st.kind == line.Wash && m.jobs[j].batch != 0 && st.first() != none && !st.again && s.station[j][k] == station {
				out = append(out, wash{j, k, m.entered(s, j, k)})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b wash) int { return cmp.Compare(a.from, b.from) })
	return out
}

// nameChanges notes which wash comes after each change of water.
func (m *Model) nameChanges(s *schedule) {
	for i := range s.changes {
		c := &s.changes[i]
		for _, w := range m.washes(s, c.station) {
			if w.from >= c.end {
				c.beforeJob = w.job
				break
			}
		}
	}
}

// waterAllowed says whether every wash of a schedule finds a water that it may use.
func (m *Model) waterAllowed(s *schedule) bool {
	for _, i := range m.site.StationsOf(line.Wash) {
		t := m.tubs[i]
		t.crops = slices.Clone(t.crops)
		changes := slices.Clone(s.changes)
		slices.SortFunc(changes, func(a, b change) int { return cmp.Compare(a.end, b.end) })
		for _, w := range m.washes(s, i) {
			for len(changes) > 0 && changes[0].end <= w.from {
				if changes[0].station == i {
					t.batches, t.crops = 0, nil
				}
				changes = changes[1:]
			}
			if !m.fits(&t, m.jobs[w.job].crop) {
				return false
			}
			t.batches++
			t.crops = append(t.crops, m.jobs[w.job].crop)
		}
	}
	return true
}
