package plan

import (
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// addTubs notes the water of every tub.
func (m *Model) addTubs() {
	m.tubs = make([]tub, len(m.site.Stations))
	for _, i := range m.site.StationsOf(line.Wash) {
		st := &m.site.Stations[i]
		m.tubs[i] = tub{batches: m.state.Water[i].Batches, crops: m.state.Water[i].Crops, limit: st.WaterBatches,
			drain: m.units(st.HandsTime), run: m.units(st.DrainTime),
			refill: m.units(m.site.HandsAtEnd(i) + st.Walk)}
	}
	for i := range m.state.Chores {
		if c := &m.state.Chores[i]; c.Kind == line.ChangeWater {
			t := &m.tubs[c.Step.Place.Station]
			t.batches, t.crops = 0, nil
		}
	}
}

// The pools of a model: trays that can be washed, sanitized, sown.
const (
	dirtyTrays = iota
	washedTrays
	cleanTrays
	poolCount
)

// mostChunks is into how many pieces a chore is divided at most, so that people can
// share it and turn to something else between two of them.
const mostChunks = 6

// addChores adds the chores that go on and what the day still needs: trays, surfaces,
// sowing. Each takes the trays that are ready for it, whoever made them so.
func (m *Model) addChores(no *Impossible) {
	greens := len(m.jobs)
	have := m.state.Trays
	m.pools = make([]pool, poolCount)
	m.pools[dirtyTrays].have, m.pools[washedTrays].have, m.pools[cleanTrays].have = have.Dirty, have.Washed, have.Sanitized
	sow, sanitizing := map[string]int{}, false
	for i := range m.state.Chores {
		c := &m.state.Chores[i]
		n := len(m.jobs)
		if m.addRunning(c, no); len(m.jobs) == n {
			return // said why
		}
		switch c.Kind {
		case line.WashTrays:
			m.readies(washedTrays, m.jobs[n].end(), c.Trays)
		case line.SanitizeAll:
			m.readies(cleanTrays, m.jobs[n].end(), c.Trays)
			sanitizing = true
		case line.SowTrays:
			sow[c.Crop] += c.Trays
		}
	}
	for _, j := range m.jobs[:greens] {
		if j.uncut(m) {
			m.readies(dirtyTrays, j.stages[0].work[len(j.stages[0].work)-1], j.trays)
		}
	}
	if m.addTrayWash(greens, no) && m.addSanitizing(greens, greens > 0 || m.state.Clean.IsZero() && !sanitizing, no) {
		m.addSowing(sow, no)
	}
}

// readies notes that trays are ready for what comes next when an op ends.
func (m *Model) readies(pool, op, trays int) {
	p := &m.pools[pool]
	if op == none {
		p.have += trays
		return
	}
	p.adds = append(p.adds, amount{op, trays, none})
}

// all is how many trays there will be in a pool.
func (p *pool) all() int {
	n := p.have
	for _, a := range p.adds {
		n += a.n
	}
	return n
}

// addTrayWash adds the washing of all trays. A machine that runs alone waits for the
// last machine of the greens.
func (m *Model) addTrayWash(greens int, no *Impossible) bool {
	var before []int
	for left, chunk := m.pools[dirtyTrays].all(), 0; left > 0; left -= chunk {
		n := len(m.jobs)
		if chunk = m.addChore(line.WashTrays, line.TrayWash, "", left, m.pools[dirtyTrays].all(), no); chunk == 0 {
			return false
		}
		j := &m.jobs[n]
		if load := m.site.Stations[j.stages[0].stations[0]].Load; before == nil && load != line.NoLoad && m.site.Panel.Loads[load].Alone {
			m.waitForMachines(j.first(), greens)
		}
		before = m.inOrder(before)
		m.needs(dirtyTrays, j.first(), chunk)
		m.readies(washedTrays, j.end(), chunk)
	}
	return true
}

// needs notes that an op takes trays when it begins.
func (m *Model) needs(pool, op, trays int) {
	m.pools[pool].takes = append(m.pools[pool].takes, amount{op, trays, none})
}

// inOrder has pieces of a chore begin in their order, the last of the jobs after those
// before: at any time there are not more under way than places and people.
func (m *Model) inOrder(before []int) []int {
	job := len(m.jobs) - 1
	if n := len(before); n > 0 {
		m.starts = append(m.starts, link{m.jobs[before[n-1]].first(), m.jobs[job].first()})
	}
	places := 0
	for _, i := range m.jobs[job].stages[0].stations {
		places += len(m.slots[i])
	}
	if at := len(before) - min(places, m.crew); at >= 0 {
		m.links = append(m.links, link{m.jobs[before[at]].end(), m.jobs[job].first()})
	}
	return append(before, job)
}

// waitForMachines lets an op begin after the greens' last machine.
func (m *Model) waitForMachines(o, greens int) {
	for b := range m.jobs[:greens] {
		g := &m.jobs[b]
		for k := range g.stages {
			st := &g.stages[k]
			if st.kind == line.Cut && st.first() != none || st.kind <= line.Dry && st.power {
				m.links = append(m.links, link{g.leaves(k), o})
			}
		}
	}
}

// addSanitizing adds as many turns as the trays need; the last one is for the surfaces
// too and comes after the last greens are cold. One more may come before, so that trays
// need not wait for that. The plan shares the trays out among the turns.
func (m *Model) addSanitizing(greens int, surfaces bool, no *Impossible) bool {
	left := m.pools[washedTrays].all()
	stations := []int{}
	if left > 0 || surfaces {
		stations = m.places(choreSaid(line.SanitizeAll, ""), line.Sanitize, 0, no)
		if len(stations) == 0 {
			return false
		}
	}
	holds := none
	for _, i := range stations {
		if n := m.site.Stations[i].SlotTrays; holds == none || n < holds {
			holds = n
		}
	}
	turns := 0
	if left > 0 {
		turns = (left + holds - 1) / max(1, holds)
	}
	apart := surfaces && greens > 0 && left > 0 && m.state.SowLeft() >= m.pools[cleanTrays].all()+left
	if surfaces {
		turns = max(turns, 1)
	}
	if apart {
		turns++
	}
	var sizes []int
	if apart || turns > 1 && m.state.SowLeft() >= m.pools[cleanTrays].all()+left {
		sizes = turnSizes(left, holds, turns)
	}
	for i := range turns {
		trays := min(left, holds)
		if apart && i == 0 {
			trays = 0
		}
		m.addTurn(trays, sizes, i > 0, apart && i == 0)
		left -= trays
	}
	for b := range m.jobs[:greens] {
		if end := m.jobs[b].end(); end != none && surfaces {
			m.links = append(m.links, link{end, m.jobs[len(m.jobs)-1].first()})
		}
	}
	return true
}

// addTurn adds a turn of sanitizing after the one before; optional makes it one that
// the plan may leave out.
func (m *Model) addTurn(trays int, sizes []int, ordered, optional bool) {
	n := len(m.jobs)
	m.addChore(line.SanitizeAll, line.Sanitize, "", trays, 0, &Impossible{})
	in, out := m.jobs[n].first(), m.jobs[n].end()
	m.ops[in].sizes = sizes
	by := none
	if sizes != nil {
		by = in
	}
	if optional {
		m.ops[in].optional, m.ops[out].with = true, in+1
		st := &m.jobs[n].stages[0]
		st.stations = st.stations[:1]
	}
	m.pools[washedTrays].takes = append(m.pools[washedTrays].takes, amount{in, trays, by})
	m.pools[cleanTrays].adds = append(m.pools[cleanTrays].adds, amount{out, trays, by})
	if ordered {
		m.starts = append(m.starts, link{m.jobs[n-1].first(), in})
	}
}

// turnSizes are the numbers of trays among which each of several turns has a choice: any
// or, where there are many, whole pieces of the washing.
func turnSizes(trays, holds, turns int) []int {
	const few = 8
	most := min(holds, trays)
	step := 1
	if most > few {
		step = (trays + mostChunks - 1) / mostChunks
	}
	var out []int
	for n := 0; n <= most; n++ {
		if n%step == 0 || n%step == trays%step || n == most || n == trays-(turns-1)*most || n == trays-(turns-2)*most {
			out = append(out, n)
		}
	}
	return out
}

// addSowing adds what is still to be sown and not sown already, as far as there are
// trays for it.
func (m *Model) addSowing(sown map[string]int, no *Impossible) {
	trays, total := m.pools[cleanTrays].all(), 0
	var before []int
	for _, it := range m.state.Sowing {
		total += it.Trays
	}
	for _, it := range m.state.Sowing {
		left := it.Trays - min(it.Trays, sown[it.Crop])
		sown[it.Crop] -= it.Trays - left
		for left > 0 && trays > 0 {
			n := len(m.jobs)
			took := m.addChore(line.SowTrays, line.Sow, it.Crop, min(left, trays), min(total, trays), no)
			if took == 0 {
				return
			}
			before = m.inOrder(before)
			m.needs(cleanTrays, m.jobs[n].first(), took)
			left -= took
			trays -= took
		}
	}
}

// uncut says whether a batch's trays are not on the dirty pile yet.
func (j *job) uncut(m *Model) bool {
	if len(j.stages) == 0 {
		return false
	}
	st := &j.stages[0]
	return st.kind == line.Cut && st.first() != none
}

// addRunning adds a chore that has been started.
func (m *Model) addRunning(c *line.Chore, no *Impossible) {
	at := c.Step.Place
	if c.Step.Progress != line.Running && m.dead(at.Station) {
		no.add(say.New("plan-why.interrupted-cannot-run-now", c.Kind, m.state.PlaceName(at)))
		return
	}
	station := &m.site.Stations[at.Station]
	j := job{name: c.Kind.String(), chore: c.Kind, crop: c.Crop, trays: c.Trays, due: none}
	st := newStage(station.Kind, []int{at.Station})
	st.at, st.power, st.idle = at, true, c.Step.Progress == line.Held
	op := func(role role, d time.Duration) int {
		return m.add(op{job: len(m.jobs), role: role, dur: m.units(d)})
	}
	if c.Step.Progress != line.Running {
		st.in = op(carry, station.Walk)
	}
	if c.Step.Planned == 0 && station.Hands == line.HandsThroughout {
		st.work = []int{op(work, max(0, m.hand(at.Station, c.Crop, c.Trays)-c.Step.Ran(m.Now)))}
	} else {
		st.run = m.units(max(0, c.Step.Left(m.Now)))
		st.out = op(take, m.site.HandsAtEnd(at.Station)+station.Walk)
	}
	j.stages = []stage{st}
	m.jobs = append(m.jobs, j)
}

// addChore adds a chore on as many trays as are done at once, and says how many. Work
// by hand is divided so that the whole of it, total trays, has a few pieces.
func (m *Model) addChore(c line.ChoreKind, k line.Kind, crop string, trays, total int, no *Impossible) int {
	stations := m.places(choreSaid(c, crop), k, 0, no)
	if len(stations) == 0 {
		return 0
	}
	holds := m.site.Stations[stations[0]].SlotTrays
	for _, i := range stations {
		holds = min(holds, m.site.Stations[i].SlotTrays)
	}
	n := trays
	if c != line.SanitizeAll {
		n = min(n, holds)
	}
	byHand := m.throughout(stations)
	if byHand {
		n = min(n, max(1, (total+mostChunks-1)/mostChunks))
	}
	j := job{name: choreName(c, crop), chore: c, crop: crop, trays: n, due: none}
	st := newStage(k, stations)
	st.power = true
	op := func(role role, f func(station int) time.Duration) int {
		return m.add(op{job: len(m.jobs), role: role, dur: m.units(m.worst(stations, f))})
	}
	if byHand {
		st.work = []int{op(work, func(i int) time.Duration { return m.hand(i, crop, n) })}
	} else {
		st.in = op(carry, m.site.HandsAtStart)
		if c == line.SanitizeAll {
			st.run = m.units(m.worst(stations, func(i int) time.Duration { return m.site.Stations[i].Contact }))
		}
		st.out = op(take, func(i int) time.Duration { return m.site.HandsAtEnd(i) + m.site.Stations[i].Walk })
	}
	j.stages = []stage{st}
	m.jobs = append(m.jobs, j)
	return n
}

// first is the op with which a job's first stage begins.
func (j *job) first() int { return j.stages[0].first() }

func choreName(c line.ChoreKind, crop string) string { return choreSaid(c, crop).String() }

func choreSaid(c line.ChoreKind, crop string) say.Sentence {
	if c == line.SowTrays {
		return say.New("plan-why.sowing", crop)
	}
	return say.New("", c)
}

// said is the name of the batch or the chore in a sentence.
func (j *job) said() any {
	if j.batch != 0 {
		return j.name
	}
	return choreSaid(j.chore, j.crop)
}

// Said is the name of the batch or the chore in a sentence.
func (s *Step) Said() say.Sentence {
	if s.Batch != 0 {
		return say.New("", s.Name)
	}
	return choreSaid(s.Chore, s.Crop)
}
