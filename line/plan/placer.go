package plan

import (
	"slices"

	"shedbell/line"
)

// placer builds schedules by putting in one job after the other, each as early as
// hands, slots, amps and the greens' waits allow.
type placer struct {
	m     *Model
	s     *schedule
	hands profile
	slots []profile // per station
	mains []profile
	on    map[int]*profile // per load: steps that keep it on
	banks map[int][]uint8  // per bank: setting that it runs at at each instant, plus one
	tubs  []tub
	last  []int       // per tub: when the last wash was carried in
	low   []int       // per stage of the present job: not before
	onLow []int       // per stage of the present job: its machine does not start before
	stand bool        // rather lets greens stand where they are going than wait where they are
	into  [][]int     // per op: links and, after those, starts that lead to it
	taken []int       // per pool
	apart int         // of Model.share
	where map[int]int // per first op of a stage: the station where that has it
	sizes map[int]int // per op: trays of a turn of sanitizing, to follow an earlier plan
	// sanitizes trays apart from the surfaces
	keep []int // per op: not before, to follow an earlier plan; nil for none
	// prefer is, per job, the setting of the fans where there is a choice; none or nil
	// for the recipe's.
	prefer []int
	// changed is, per batch, when the plan to follow changes the water before it.
	changed map[int]change
}

func newPlacer(m *Model) *placer {
	p := &placer{m: m, slots: make([]profile, len(m.slots)), mains: make([]profile, len(m.mains)),
		tubs: make([]tub, len(m.tubs)), last: make([]int, len(m.tubs)), into: make([][]int, len(m.ops)), taken: make([]int, len(m.pools))}
	for i, l := range m.links {
		p.into[l.to] = append(p.into[l.to], i)
	}
	for i, l := range m.starts {
		p.into[l.to] = append(p.into[l.to], len(m.links)+i)
	}
	return p
}

func (p *placer) reset() {
	m := p.m
	p.s = m.newSchedule()
	m.share(p.s, p.apart, p.sizes)
	p.hands.reset(m.crew)
	for _, b := range m.away {
		if b.to >= farAway {
			p.hands.open(b.from, b.people)
		} else {
			p.hands.add(b.from, b.to, b.people)
		}
	}
	for i := range p.slots {
		p.slots[i].reset(len(m.slots[i]))
	}
	for i := range p.mains {
		p.mains[i].reset(m.mains[i].limit)
	}
	p.on = map[int]*profile{}
	p.banks = map[int][]uint8{}
	copy(p.tubs, m.tubs)
	clear(p.last)
	clear(p.taken)
}

// build places the jobs in the given order: those that go on already, the waiting
// ones and the chores. Taking a batch off its rack and packing it are placed only
// when so many more batches have their way onto a rack, so that they do not take the
// hands that keep the line going. It returns nil if the rules of thumb find no
// place, which says nothing about whether there is one.
func (p *placer) build(before, order, after []int, later int) *schedule {
	p.reset()
	ok := true
	whole := func(j int) { ok = ok && p.place(j, 0, len(p.m.jobs[j].stages), false) }
	for _, j := range before {
		whole(j)
	}
	for i := range len(order) + later {
		if i < len(order) {
			if rack := p.m.rackOf(order[i]); rack != none && later > 0 {
				ok = ok && p.place(order[i], 0, rack+1, true)
			} else {
				whole(order[i])
			}
		}
		if i >= later && later > 0 {
			j := order[i-later]
			if rack := p.m.rackOf(j); rack != none {
				ok = ok && p.place(j, rack, len(p.m.jobs[j].stages), false)
			}
		}
		if !ok {
			return nil
		}
	}
	for _, j := range after {
		whole(j)
	}
	if !ok {
		return nil
	}
	p.m.judge(p.s)
	return p.s
}

// rackOf is the stage at which a job's way can be cut in two: on a rack, where it
// may stay after its countdown. none if there is none.
func (m *Model) rackOf(j int) int {
	for k := range m.jobs[j].stages {
		if st := &m.jobs[j].stages[k]; st.kind == line.Dry && st.at == line.Nowhere && st.in != none && st.out != none {
			return k
		}
	}
	return none
}

const (
	placeTries = 20_000
	farAway    = 1 << 17
	again      = -2 // instead of a later start: another instant for the machine has been noted
)

// place puts in a job's stages from one to before another. With stay, the last of
// them is left for another call to end; such a call begins with that stage.
func (p *placer) place(j, from, to int, stay bool) bool {
	if from == 0 {
		p.freshWater(j)
	}
	if p.m.leftOut(p.s, j) {
		return true // its times are all 0
	}
	p.low = append(p.low[:0], make([]int, len(p.m.jobs[j].stages))...)
	p.onLow = append(p.onLow[:0], make([]int, len(p.m.jobs[j].stages))...)
	for range placeTries {
		k, low := p.try(j, from, to, stay)
		if k == none {
			p.commit(j, from, to, stay)
			return true
		}
		if low == again {
			continue
		}
		if low <= p.low[k] {
			low = p.low[k] + 1
		}
		if low >= farAway || from > 0 && k == from {
			return false
		}
		p.low[k] = low
	}
	return false
}

// try sets the times of stages one after the other. If a stage has to begin later
// than it could so that a later one fits, it returns which and from when on.
func (p *placer) try(j, from, to int, stay bool) (stage, low int) {
	m, jb := p.m, &p.m.jobs[j]
	t := 0
	for k := from; k < to; k++ {
		st := &jb.stages[k]
		if k == from && from > 0 { // it is there already
			t = p.takeOut(st, m.runEnd(p.s, j, k))
			continue
		}
		if first := st.first(); first != none {
			t = max(t, p.low[k], p.release(first))
			if st.at == line.Nowhere && st.kind == line.Wash {
				t = max(t, p.last[p.s.station[j][k]])
			}
			p.s.start[first] = p.enter(j, k, t, m.ops[first].dur)
			if p.s.start[first] >= farAway {
				return k, farAway
			}
		}
		p.start(j, k)
		begin := m.begin(p.s, j, k)
		if k > 0 {
			if low := p.leave(j, k-1, begin, from > 0 && k-1 == from); low != none {
				return k - 1, low
			}
		}
		if st.runAt != nil {
			p.s.fan[j][k] = p.chooseFan(j, k, begin)
		}
		if t = begin + m.run(p.s, j, k); stay && k == to-1 {
			return none, 0
		}
		for n, o := range st.work {
			if n > 0 {
				p.s.start[o] = p.hands.earliest(max(t, p.release(o)), m.ops[o].dur)
			}
			t = p.s.start[o] + m.ops[o].dur
		}
		t = p.takeOut(st, t)
	}
	if to > 0 {
		if low := p.leave(j, to-1, t, false); low != none {
			return to - 1, low
		}
	}
	return none, 0
}

// start sets when a machine starts: as its greens are carried in or, where it has to
// wait, later.
func (p *placer) start(j, k int) {
	m, st := p.m, &p.m.jobs[j].stages[k]
	if st.on == none {
		return
	}
	in := m.finishOf(p.s, st.in)
	from := p.onLow[k]
	if p.keep != nil {
		from = max(from, p.keep[st.on]+m.ops[st.on].dur)
	}
	if p.s.skip[st.on] = !p.stand || from <= in; p.s.skip[st.on] {
		p.s.start[st.on] = in
		return
	}
	p.s.start[st.on] = p.hands.earliest(max(in, from-m.ops[st.on].dur), m.ops[st.on].dur)
}

// takeOut sets the time of a stage's last op, if it has one, and says when it ends.
func (p *placer) takeOut(st *stage, t int) int {
	if st.out == none {
		return t
	}
	p.s.start[st.out] = p.hands.earliest(max(t, p.release(st.out)), p.m.ops[st.out].dur)
	return p.m.finishOf(p.s, st.out)
}

// release is the earliest start of an op by links and by the plan to be kept.
func (p *placer) release(o int) int {
	t := p.m.ops[o].release
	if p.keep != nil {
		t = max(t, p.keep[o])
	}
	for _, i := range p.into[o] {
		if i < len(p.m.links) {
			t = max(t, p.m.finishOf(p.s, p.m.links[i].from))
		} else {
			t = max(t, p.s.start[p.m.starts[i-len(p.m.links)].from])
		}
	}
	for i := range p.m.pools {
		for _, a := range p.m.pools[i].takes {
			if a.op == o {
				t = max(t, p.m.ready(p.s, i, p.taken[i]+p.m.trays(p.s, a)))
			}
		}
	}
	return t
}

// enter is the first instant from t on with a person and a slot for a stage's
// first op, and notes the station.
func (p *placer) enter(j, k, t, dur int) int {
	st := &p.m.jobs[j].stages[k]
	if st.at != line.Nowhere || st.kind == line.Chill {
		return p.hands.earliest(t, dur)
	}
	stations := st.stations
	if i, ok := p.where[st.first()]; ok && slices.Contains(stations, i) {
		stations = []int{i}
	}
	if st.kind == line.Wash {
		stations = p.s.station[j][k : k+1] // chosen with its water
	}
	best := none
	for _, i := range stations {
		s := t
		for s < farAway {
			s = p.hands.earliest(s, dur)
			full := p.slots[i].firstFull(s, s+max(1, dur), 1)
			if full == none {
				break
			}
			s = p.slots[i].nextFree(full, 1)
		}
		if best == none || s < best {
			best = s
			p.s.station[j][k] = i
		}
	}
	return best
}

// leave checks a stage that the job leaves at the instant t: its slot and amps must
// have been free all along, and the greens must not have waited too long. If not,
// it returns a later start for the stage's first op. A slot may be reserved already.
func (p *placer) leave(j, k, t int, reserved bool) int {
	m, st := p.m, &p.m.jobs[j].stages[k]
	first := st.first()
	if first == none {
		return none
	}
	station := p.s.station[j][k]
	if st.at == line.Nowhere && st.kind != line.Chill && !reserved {
		if full := p.slots[station].firstFull(p.s.start[first], t, 1); full != none {
			return p.slots[station].nextFree(full, 1)
		}
	}
	if st.wet != none && !st.soft {
		if over := t - m.runEnd(p.s, j, k) - st.wet; over > 0 {
			return p.s.start[first] + over
		}
	}
	load := m.site.Stations[station].Load
	if load == line.NoLoad {
		return none
	}
	set := m.setting(p.s, j, k)
	from, to := m.powered(p.s, j, k)
	to = min(to, max(t, from))
	clash := none
	if st.kind == line.Dry {
		clash = p.fansClash(load, set, from, to)
	}
	if clash == none {
		clash = p.ampsFree(load, set, from, to)
	}
	switch {
	case clash == none:
		return none
	case p.stand && st.on != none && !reserved && clash < farAway:
		p.onLow[k] = max(p.onLow[k], from) + max(1, clash-from)
		return again
	}
	return p.s.start[first] + max(1, clash-from)
}

// ampsFree returns none if a load may be on during [from, to), and otherwise the
// next instant from which it might.
func (p *placer) ampsFree(load, setting, from, to int) int {
	for i := range p.mains {
		need := p.m.mains[i].need(load, setting)
		if need == 0 {
			continue
		}
		for t := from; t < to; t++ {
			if on := p.on[load]; on != nil && on.at(t) > 0 {
				continue // counts once
			}
			if p.mains[i].at(t)+need > p.mains[i].cap {
				for t < len(p.mains[i].use) && p.mains[i].at(t)+need > p.mains[i].cap {
					t++
				}
				return t
			}
		}
	}
	return none
}

func (p *placer) commit(j, first, to int, stay bool) {
	m, jb := p.m, &p.m.jobs[j]
	for k := first; k < to; k++ {
		st := &jb.stages[k]
		station := p.s.station[j][k]
		there, leaves := first > 0 && k == first, !stay || k < to-1
		if st.in != none && !there {
			p.busy(st.in)
			if st.on != none {
				p.busy(st.on)
			}
		}
		for i := range m.pools {
			for _, a := range m.pools[i].takes {
				if a.op == st.first() {
					p.taken[i] += m.trays(p.s, a)
				}
			}
		}
		load := m.site.Stations[station].Load
		if !leaves {
			if !m.stuck(st) {
				p.slots[station].open(m.entered(p.s, j, k), 1)
			}
			p.keepFans(load, m.setting(p.s, j, k), m.begin(p.s, j, k), m.runEnd(p.s, j, k))
			continue
		}
		for _, o := range st.work {
			p.busy(o)
		}
		if st.out != none {
			p.busy(st.out)
		}
		switch {
		case m.stuck(st):
		case there:
			p.slots[station].open(m.left(p.s, j, k), -1)
		case st.kind != line.Chill:
			p.slots[station].add(m.entered(p.s, j, k), m.left(p.s, j, k), 1)
		}
		from, off := m.powered(p.s, j, k)
		p.switchOn(load, m.setting(p.s, j, k), from, off)
		if st.kind == line.Dry {
			p.keepFans(load, m.setting(p.s, j, k), from, off)
		}
		if st.kind == line.Wash && st.first() != none && !st.again && jb.batch != 0 {
			p.last[station] = max(p.last[station], m.entered(p.s, j, k))
			p.tubs[station].batches++
			p.tubs[station].crops = append(slices.Clip(p.tubs[station].crops), jb.crop)
		}
	}
}

func (p *placer) busy(o int) { p.hands.add(p.s.start[o], p.m.finishOf(p.s, o), 1) }

func (p *placer) switchOn(load, setting, from, to int) {
	if load == line.NoLoad || from >= to || len(p.mains) == 0 {
		return
	}
	on := p.on[load]
	if on == nil {
		on = &profile{}
		p.on[load] = on
	}
	for i := range p.mains {
		if need := p.m.mains[i].need(load, setting); need > 0 {
			for t := from; t < to; t++ {
				if on.at(t) == 0 {
					p.mains[i].add(t, t+1, need)
				}
			}
		}
	}
	on.add(from, to, 1)
}
