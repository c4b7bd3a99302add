package plan

import (
	"slices"

	"shedbell/line"
)

// schedule is when each op starts and where each stage is done.
type schedule struct {
	start   []int
	station [][]int // per job and stage
	fan     [][]int // per job and stage: setting of the fans, on racks that have some
	skip    []bool  // per op: left out
	size    []int   // per op: trays, where that is a choice
	changes []change
	values  values
}

// change is one change of water.
type change struct {
	station   int
	drain     int // start of the hands' work before it
	refill    int // start of the hands' work after it
	end       int
	beforeJob int // the wash that needs it, or none
}

// values are what a plan is judged by, the most important first, in units.
type values struct {
	late   int // sum over due times
	spoilt int // sum of waits beyond their limits among greens that wait already
	finish int
	wet    int // sum of waits wet
	strays int // batches that dry at another setting than their recipe's, or stand first
}

func (v values) compare(o values) int {
	return slices.Compare([]int{v.late, v.spoilt, v.finish, v.wet, v.strays}, []int{o.late, o.spoilt, o.finish, o.wet, o.strays})
}

func (m *Model) newSchedule() *schedule {
	s := &schedule{start: make([]int, len(m.ops)), skip: make([]bool, len(m.ops)), size: make([]int, len(m.ops)), station: make([][]int, len(m.jobs)), fan: make([][]int, len(m.jobs))}
	for j := range m.jobs {
		s.station[j], s.fan[j] = make([]int, len(m.jobs[j].stages)), make([]int, len(m.jobs[j].stages))
		for k := range m.jobs[j].stages {
			if st := &m.jobs[j].stages[k]; len(st.stations) > 0 {
				s.station[j][k] = st.stations[0]
			}
		}
	}
	return s
}

func (m *Model) finishOf(s *schedule, o int) int {
	if o == none {
		return 0
	}
	return s.start[o] + m.long(s, o)
}

// long is how long an op takes.
func (m *Model) long(s *schedule, o int) int {
	if s.skip[o] {
		return 0
	}
	return m.ops[o].dur
}

// begin is when a stage's step starts: it has been carried in, or the work by hand
// begins, or it runs already.
func (m *Model) begin(s *schedule, j, k int) int {
	st := &m.jobs[j].stages[k]
	switch {
	case st.on != none:
		return m.finishOf(s, st.on)
	case st.in != none:
		return m.finishOf(s, st.in)
	case len(st.work) > 0:
		return s.start[st.work[0]]
	}
	return 0
}

// leftOut says whether a job is not done at all.
func (m *Model) leftOut(s *schedule, j int) bool {
	if m.jobs[j].batch != 0 {
		return false
	}
	first := m.jobs[j].first()
	return first != none && s.skip[first]
}

// runEnd is when a stage's countdown or work by hand is over.
func (m *Model) runEnd(s *schedule, j, k int) int {
	st := &m.jobs[j].stages[k]
	if n := len(st.work); n > 0 {
		return m.finishOf(s, st.work[n-1])
	}
	return m.begin(s, j, k) + m.run(s, j, k)
}

// entered is when a stage's slot is taken, and left when it is free again.
func (m *Model) entered(s *schedule, j, k int) int {
	st := &m.jobs[j].stages[k]
	if st.at != line.Nowhere {
		return 0
	}
	return s.start[st.first()]
}

func (m *Model) left(s *schedule, j, k int) int {
	jb := &m.jobs[j]
	o, atFinish := jb.slotFree(k)
	switch {
	case o == none:
		return m.runEnd(s, j, k)
	case atFinish:
		return m.finishOf(s, o)
	}
	return s.start[o]
}

// powered is from when to when a stage's machine counts.
func (m *Model) powered(s *schedule, j, k int) (from, to int) {
	st := &m.jobs[j].stages[k]
	if !st.power {
		return 0, 0
	}
	if st.at == line.Nowhere || st.idle {
		from = m.begin(s, j, k)
	}
	return from, max(from, m.finishOf(s, m.jobs[j].leaves(k)))
}

// over is when a job is done.
func (m *Model) over(s *schedule, j int) int {
	k := len(m.jobs[j].stages) - 1
	if k < 0 {
		return 0
	}
	return max(m.runEnd(s, j, k), m.finishOf(s, m.jobs[j].end()))
}

func (m *Model) judge(s *schedule) {
	var v values
	for j := range m.jobs {
		jb := &m.jobs[j]
		over := m.over(s, j)
		v.finish = max(v.finish, over)
		if jb.due != none {
			v.late += max(0, over-jb.due)
		}
		for k := range jb.stages {
			st := &jb.stages[k]
			if st.runAt != nil && m.setting(s, j, k) != wants(m.state, s.station[j][k], jb.crop) {
				v.strays++
			}
			if st.on != none && !s.skip[st.on] {
				v.strays++
			}
			if st.hurry != none {
				v.spoilt += max(0, m.finishOf(s, st.starter())-st.hurry)
			}
			if st.wet == none && !(st.kind == line.Wash || st.kind == line.Spin) || k+1 == len(jb.stages) {
				continue
			}
			wait := m.begin(s, j, k+1) - m.runEnd(s, j, k)
			v.wet += wait
			if st.soft && st.wet != none {
				v.spoilt += max(0, wait-st.wet)
			}
		}
	}
	for _, c := range s.changes {
		v.finish = max(v.finish, c.end)
	}
	s.values = v
}
