package plan

import (
	"slices"

	"shedbell/line"
	"shedbell/line/say"
)

const handsName = "your hands"

// cause says why an op does not start earlier: what ends at that instant.
type cause struct {
	text  say.Sentence
	next  int // the op that ends or, before a countdown, ended; none at the beginning
	from  int // a countdown or wait between the next op and this one runs from here
	by    string
	where where // whose countdown or wait it is
}

// binder finds out what holds up the ops of a schedule.
type binder struct {
	*Model
	s     *schedule
	hands []handTask
	ties  map[int]tie
}

// tie is the chosen cause of an op, and how far back it can be followed without a gap.
type tie struct {
	cause
	reach int
}

func (m *Model) binder(s *schedule) *binder {
	return &binder{Model: m, s: s, hands: m.tasks(s), ties: map[int]tie{}}
}

// causeOf finds what ends just when an op starts: the step before of the same
// batch, what it is linked to, the slot, or the hands. Of several it is the one that
// can be followed back furthest, as the others might have ended earlier.
func (m *binder) causeOf(o int) cause { return m.tie(o).cause }

func (m *binder) tie(o int) tie {
	if found, ok := m.ties[o]; ok {
		return found
	}
	t := m.s.start[o]
	if t == 0 {
		return tie{cause: cause{text: say.New("plan-why.starts-now"), next: none, from: t}}
	}
	best := tie{cause: m.byChoice(o), reach: t}
	m.ties[o] = best // what is asked about again on the way goes in a circle
	for _, find := range []func(int) []cause{m.byWay, m.byLinks, m.bySlot, m.byHands} {
		for _, c := range find(o) {
			back := c.from
			if c.next != none {
				back = m.tie(c.next).reach
			}
			if best.reach == t || back < best.reach {
				best = tie{cause: c, reach: back}
			}
			if best.reach == 0 {
				m.ties[o] = best
				return best
			}
		}
	}
	m.ties[o] = best
	return best
}

// byWay: the countdown or the work before, of the same batch.
func (m *binder) byWay(o int) []cause {
	s := m.s
	op, t := &m.ops[o], s.start[o]
	jb := &m.jobs[op.job]
	st := &jb.stages[op.stage]
	if i := slices.Index(st.work, o); i > 0 {
		return only(cause{next: st.work[i-1], from: t, text: say.New("plan-why.work-before-over-then", jb.said())}, m.finishOf(s, st.work[i-1]) == t)
	}
	k := op.stage
	if o == st.on {
		return only(cause{next: st.in, from: t, text: say.New("plan-why.being-carried-until", jb.said(), m.stationName(s, op.job, k))}, m.finishOf(s, st.in) == t)
	}
	if o == st.first() {
		k--
	}
	if k < 0 {
		return nil
	}
	st = &jb.stages[k]
	name := m.stationName(s, op.job, k)
	if st.out != none && st.out != o {
		return only(cause{next: st.out, from: t, text: say.New("plan-why.being-taken-out-until", jb.said(), name)}, m.finishOf(s, st.out) == t)
	}
	c := cause{next: st.starter(), from: t, where: where{op.job, k}, by: name, text: say.New("plan-why.until-then", jb.said(), name)}
	if n := len(st.work); n > 0 {
		c.next = st.work[n-1]
	} else {
		c.from = m.begin(s, op.job, k)
	}
	return only(c, m.runEnd(s, op.job, k) == t)
}

func only(c cause, holds bool) []cause {
	if !holds {
		return nil
	}
	return []cause{c}
}

func (m *binder) byLinks(o int) (out []cause) {
	s := m.s
	for _, l := range m.links {
		if l.to == o && m.finishOf(s, l.from) == s.start[o] {
			out = append(out, cause{next: l.from, from: s.start[o], text: say.New("plan-why.wait-until-then", m.jobs[m.ops[l.from].job].said())})
		}
	}
	for i := range m.pools { // trays that it takes
		p := &m.pools[i]
		if !slices.ContainsFunc(p.takes, func(a amount) bool { return a.op == o }) {
			continue
		}
		for _, a := range p.adds {
			if m.finishOf(s, a.op) == s.start[o] && m.trays(s, a) > 0 {
				out = append(out, cause{next: a.op, from: s.start[o], text: say.New("plan-why.wait-until-then", m.jobs[m.ops[a.op].job].said())})
			}
		}
	}
	return out
}

// bySlot: another stay that ends then, with every slot taken until then.
func (m *binder) bySlot(o int) []cause {
	s := m.s
	op, t := &m.ops[o], s.start[o]
	st := &m.jobs[op.job].stages[op.stage]
	if st.at != line.Nowhere || st.kind == line.Chill || o != st.first() {
		return nil
	}
	station := s.station[op.job][op.stage]
	name := m.site.Stations[station].Name
	for n, c := range s.changes {
		if c.station == station && c.end == t {
			return []cause{{next: m.endingAt(s, c.drain), from: c.drain, where: where{none, n}, by: name,
				text: say.New("plan-why.water-being-changed-until", name)}}
		}
	}
	taken, last := 0, cause{next: none}
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			if s.station[j][k] != station || j == op.job || m.jobs[j].stages[k].kind == line.Chill {
				continue
			}
			if m.entered(s, j, k) < t && m.left(s, j, k) >= t {
				taken++
			}
			if m.left(s, j, k) == t {
				last.next, _ = m.jobs[j].slotFree(k)
				last.from, last.text = t, say.New("plan-why.holds-until-then", name, m.jobs[j].said())
			}
		}
	}
	return only(last, !last.text.IsZero() && taken >= len(m.slots[station]))
}

// byHands: somebody who is busy until then, with nobody else free.
func (m *binder) byHands(o int) (out []cause) {
	t := m.s.start[o]
	busy := 0
	for _, h := range m.hands {
		if h.start >= t || h.end < t {
			continue
		}
		busy++
		if h.end == t {
			c := cause{next: h.op, from: t, text: say.New("plan-why.everybody-s-hands-full", m.doing(m.s, h))}
			if h.op == none { // a change of water
				c.next, c.from, c.where, c.by = m.endingAt(m.s, h.start), h.start, h.where, handsName
			}
			out = append(out, c)
		}
	}
	if busy < m.crew {
		return nil
	}
	return out
}

// byChoice: nothing that ends then, so it could start earlier by itself; it waits
// for the sake of what comes after, or of the amps.
func (m *binder) byChoice(o int) cause {
	s := m.s
	op := &m.ops[o]
	c := cause{next: none, from: s.start[o], text: say.New("plan-why.nothing-stands-way-earlier")}
	before := 0
	for i := range m.ops {
		if m.ops[i].job == op.job && m.finishOf(s, i) <= s.start[o] && i != o && m.finishOf(s, i) > before {
			before, c.next = m.finishOf(s, i), i
		}
	}
	for i := range m.mains {
		if m.fullBefore(s, i, op, s.start[o]) {
			c.text = say.New("plan-why.no-room-amps-before", m.mains[i].name)
		}
	}
	if c.next == none {
		c.next = m.endingAt(s, s.start[o])
	} else {
		c.from, c.where = before, where{op.job, op.stage}
	}
	return c
}

// fullBefore says whether the machine that an op starts would have been one too
// many an instant earlier.
func (m *Model) fullBefore(s *schedule, limit int, op *op, t int) bool {
	mine := m.site.Stations[s.station[op.job][op.stage]].Load
	if mine == line.NoLoad || op.role != carry && op.role != switchOn {
		return false
	}
	on := map[int]int{mine: m.mains[limit].need(mine, m.setting(s, op.job, op.stage))}
	begin := t + op.dur - 1
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			from, to := m.powered(s, j, k)
			if load := m.site.Stations[s.station[j][k]].Load; load != line.NoLoad && from <= begin && begin < to && j != op.job {
				on[load] = m.mains[limit].need(load, m.setting(s, j, k))
			}
		}
	}
	sum := 0
	for _, n := range on {
		sum += n
	}
	return on[mine] > 0 && sum > m.mains[limit].limit
}

func (m *Model) doing(s *schedule, h handTask) say.Sentence {
	if h.job == none {
		return say.New("plan-why.water", m.site.Stations[s.changes[h.stage].station].Name)
	}
	return say.New("plan-why.join-2", m.jobs[h.job].said(), m.stationName(s, h.job, h.stage))
}

// endingAt is an op that ends at an instant.
func (m *Model) endingAt(s *schedule, t int) int {
	for o := range m.ops {
		if m.long(s, o) > 0 && m.finishOf(s, o) == t {
			return o
		}
	}
	return none
}

func (m *Model) stationName(s *schedule, j, k int) string {
	return m.site.Stations[s.station[j][k]].Name
}

// WhyNot answers "why not earlier?" for a step of a plan: it names what is in the
// way of its beginning until the planned instant.
func WhyNot(p *Plan, step int) say.Sentence {
	if step < 0 || step >= len(p.Steps) {
		return say.New("plan-why.plan-no-such-step")
	}
	st := &p.Steps[step]
	if st.Running {
		return say.New("plan-why.runs-already")
	}
	m := p.m
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			g := &m.jobs[j].stages[k]
			if m.jobs[j].batch != st.Batch || m.jobs[j].name != st.Name || g.kind != st.Kind || g.first() == none || !m.instant(m.begin(p.s, j, k)).Equal(st.Start) {
				continue
			}
			return m.binder(p.s).causeOf(g.first()).text
		}
	}
	return say.New("plan-why.due-between-washes-before")
}
