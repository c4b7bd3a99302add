package plan

import (
	"cmp"
	"slices"
	"time"

	"shedbell/line"
)

// toPlan writes a schedule down as a plan.
func (m *Model) toPlan(s *schedule, bound int, optimal bool) *Plan {
	v := s.values
	p := &Plan{Made: m.Now, Finish: m.instant(v.finish), LowerBound: m.instant(bound), Optimal: optimal,
		Late: time.Duration(v.late) * m.Unit, Spoilt: time.Duration(v.spoilt) * m.Unit, WetWait: time.Duration(v.wet) * m.Unit,
		m: m, s: s}
	at := m.addSteps(p)
	m.addTasks(p, at)
	m.addBinding(p, at)
	return p
}

// where finds a stage's step in a plan.
type where struct{ job, stage int }

func (m *Model) addSteps(p *Plan) map[where]int {
	type row struct {
		where
		step Step
	}
	slot := m.slotOf(p.s)
	var rows []row
	for j := range m.jobs {
		jb := &m.jobs[j]
		for k := range jb.stages {
			st := &jb.stages[k]
			if m.leftOut(p.s, j) || st.first() == none && st.run == 0 && !st.power && st.at != line.Nowhere {
				continue // only stands there
			}
			station := p.s.station[j][k]
			_, off := m.powered(p.s, j, k)
			trays := jb.trays
			if st.in != none && m.ops[st.in].sizes != nil {
				trays = p.s.size[st.in]
			}
			rows = append(rows, row{where{j, k}, Step{Batch: jb.batch, Chore: jb.chore, Name: jb.name, Crop: jb.crop, Kind: st.kind,
				Place: line.Place{Station: station, Slot: slot[where{j, k}]}, Trays: trays, Setting: m.setting(p.s, j, k),
				Enters: m.instant(m.entered(p.s, j, k)), Start: m.instant(m.begin(p.s, j, k)), Ready: m.instant(m.runEnd(p.s, j, k)),
				Off: m.instant(max(off, m.runEnd(p.s, j, k))), Leaves: m.instant(m.left(p.s, j, k)),
				Running: st.at != line.Nowhere && !st.idle}})
			if st.on != none && !p.s.skip[st.on] {
				rows[len(rows)-1].step.Stands = m.instant(p.s.start[st.on])
			}
		}
	}
	for n, c := range p.s.changes {
		t := &m.tubs[c.station]
		start := c.drain + t.drain
		rows = append(rows, row{where{none, n}, Step{Chore: line.ChangeWater, Name: line.ChangeWater.String(), Kind: line.Wash,
			Place: line.Place{Station: c.station}, Enters: m.instant(c.drain), Start: m.instant(start),
			Ready: m.instant(start + t.run), Off: m.instant(c.end), Leaves: m.instant(c.end)}})
	}
	slices.SortStableFunc(rows, func(a, b row) int {
		return cmp.Or(a.step.Start.Compare(b.step.Start), cmp.Compare(a.job, b.job), cmp.Compare(a.stage, b.stage))
	})
	at := map[where]int{}
	last := map[line.Place]int{}
	for i := range rows {
		st := &rows[i].step
		n, ok := last[st.Place]
		ok = ok && m.goesOn(&p.Steps[n], st) && !slices.ContainsFunc(rows, func(r row) bool { return parts(&p.Steps[n], st, &r.step) })
		if ok {
			before := &p.Steps[n]
			before.Trays, before.Ready, before.Off, before.Leaves = before.Trays+st.Trays, st.Ready, st.Off, st.Leaves
		} else {
			n = len(p.Steps)
			p.Steps = append(p.Steps, *st)
		}
		at[rows[i].where], last[st.Place] = n, n
	}
	return at
}

// parts says whether a step keeps two pieces of a chore from being one: it makes trays
// ready for the second after the first has begun, or takes those of the first before the
// second is over.
func parts(a, b, o *Step) bool {
	between := func(t, from, to time.Time) bool { return t.After(from) && !t.After(to) }
	switch {
	case a.Chore == line.WashTrays && o.Batch != 0:
		return o.Kind == line.Cut && between(o.Ready, a.Start, b.Start)
	case a.Chore == line.WashTrays:
		return o.Chore == line.SanitizeAll && o.Trays > 0 && o.Start.Before(b.Ready) && !o.Start.Before(a.Ready)
	}
	return o.Batch == 0 && o.Chore == line.SanitizeAll && between(o.Leaves, a.Start, b.Start)
}

// goesOn says whether a chore by hand goes on with the next one at its place without a
// break, so that they are one.
func (m *Model) goesOn(a, b *Step) bool {
	st := &m.site.Stations[a.Place.Station]
	return a.Batch == 0 && b.Batch == 0 && !a.Running && a.Chore == b.Chore && a.Crop == b.Crop && a.Leaves.Equal(b.Enters) &&
		st.Hands == line.HandsThroughout && a.Chore != line.ChangeWater && a.Trays+b.Trays <= st.SlotTrays
}

// slotOf gives every stage a slot that is free for its stay.
func (m *Model) slotOf(s *schedule) map[where]int {
	type stay struct {
		where
		from, to int
	}
	perStation := make([][]stay, len(m.slots))
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			i := s.station[j][k]
			perStation[i] = append(perStation[i], stay{where{j, k}, m.entered(s, j, k), m.left(s, j, k)})
		}
	}
	out := map[where]int{}
	for i, stays := range perStation {
		slices.SortStableFunc(stays, func(a, b stay) int { return cmp.Compare(a.from, b.from) })
		free := map[int]int{}
		for _, y := range stays {
			if st := &m.jobs[y.job].stages[y.stage]; st.at != line.Nowhere {
				out[y.where] = st.at.Slot
				free[st.at.Slot] = max(free[st.at.Slot], y.to)
			}
		}
		for _, y := range stays {
			if m.jobs[y.job].stages[y.stage].at != line.Nowhere {
				continue
			}
			for _, slot := range m.slots[i] {
				if free[slot] <= y.from || m.jobs[y.job].stages[y.stage].kind == line.Chill {
					out[y.where] = slot
					free[slot] = y.to
					break
				}
			}
		}
	}
	return out
}

// handTask is an op or a part of a change of water, by start.
type handTask struct {
	where
	op         int // none for a change of water
	what       string
	start, end int
}

func (m *Model) tasks(s *schedule) []handTask {
	var out []handTask
	for o := range m.ops {
		if op := &m.ops[o]; m.long(s, o) > 0 {
			out = append(out, handTask{where{op.job, op.stage}, o, roleNames[op.role], s.start[o], m.finishOf(s, o)})
		}
	}
	for n, c := range s.changes {
		out = append(out, handTask{where{none, n}, none, roleNames[drain], c.drain, c.drain + m.tubs[c.station].drain},
			handTask{where{none, n}, none, roleNames[refill], c.refill, c.end})
	}
	slices.SortStableFunc(out, func(a, b handTask) int { return cmp.Compare(a.start, b.start) })
	return out
}

// addTasks shares the work by hand out among the people who are here; who is at a batch
// stays with it where that is possible, and what can hurt goes to those signed off for it.
func (m *Model) addTasks(p *Plan, at map[where]int) {
	free := make([]int, m.crew)
	with := make([]int, m.crew) // job that each was at last
	for i := range with {
		with[i] = none
	}
	for _, t := range m.tasks(p.s) {
		who, best := none, 0
		for i := range free {
			if free[i] > t.start {
				continue
			}
			fit := 4*boolInt(m.here(i, t.start)) + 2*boolInt(m.signed(i, p.Steps[at[t.where]].Kind)) + boolInt(with[i] == t.job)
			if who == none || fit > best || fit == best && with[who] != t.job && free[i] < free[who] {
				who, best = i, fit
			}
		}
		if who == none {
			who = 0 // cannot be: no more work at once than there are hands
		}
		free[who], with[who] = t.end, t.job
		if t.end > t.start {
			p.Hands = append(p.Hands, Task{Who: who, Step: at[t.where], What: t.what, Start: m.instant(t.start), End: m.instant(t.end)})
		}
	}
}

func (m *Model) here(who, at int) bool {
	return who >= len(m.state.Crew) || slices.Contains(m.state.Here(m.instant(at)), m.state.Crew[who])
}

// signed says whether a person may run a station that can hurt.
func (m *Model) signed(who int, k line.Kind) bool {
	if who >= len(m.state.Crew) || !k.Dangerous() {
		return false
	}
	_, ok := m.state.SignedOff(m.state.Crew[who], k)
	return ok
}
