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

// addChores adds the chores that go on and, in the order of the prompts, what the
// day still needs: trays, surfaces, sowing.
func (m *Model) addChores(no *Impossible) {
	pool := m.state.Trays
	sow := map[string]int{}
	greens := len(m.jobs)
	for i := range m.state.Chores {
		c := &m.state.Chores[i]
		m.addRunning(c, no)
		switch c.Kind {
		case line.WashTrays:
			pool.Washed += c.Trays
		case line.SanitizeAll:
			pool.Sanitized += c.Trays
		case line.SowTrays:
			sow[c.Crop] += c.Trays
		}
	}
	for _, j := range m.jobs[:greens] {
		if j.uncut(m) {
			pool.Dirty += j.trays
		}
	}
	pool.Washed += pool.Dirty
	for n := len(m.jobs); pool.Dirty > 0; n = len(m.jobs) {
		if pool.Dirty -= m.addChore(line.WashTrays, line.TrayWash, "", pool.Dirty, no); len(m.jobs) == n {
			return // said why
		}
		m.waitFor(n, greens)
	}
	for first := true; pool.Washed > 0 || first && (m.state.Clean.IsZero() || greens > 0); first = false {
		n := len(m.jobs)
		took := m.addChore(line.SanitizeAll, line.Sanitize, "", pool.Washed, no)
		if len(m.jobs) == n {
			return
		}
		m.waitForAll(n)
		pool.Washed -= took
		pool.Sanitized += took
	}
	for _, it := range m.state.Sowing {
		left := it.Trays - min(it.Trays, sow[it.Crop])
		sow[it.Crop] -= it.Trays - left
		for left > 0 && pool.Sanitized > 0 {
			n := len(m.jobs)
			took := m.addChore(line.SowTrays, line.Sow, it.Crop, min(left, pool.Sanitized), no)
			if len(m.jobs) == n {
				return
			}
			m.waitForAll(n)
			left -= took
			pool.Sanitized -= took
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
	st := stage{kind: station.Kind, stations: []int{at.Station}, at: at, in: none, out: none, wet: none, hurry: none, fan: none,
		power: true, idle: c.Step.Progress == line.Held}
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

// addChore adds a chore on as many trays as fit at once, and says how many.
func (m *Model) addChore(c line.ChoreKind, k line.Kind, crop string, trays int, no *Impossible) int {
	stations := m.places(choreSaid(c, crop), k, 0, no)
	if len(stations) == 0 {
		return 0
	}
	i := stations[0]
	station := &m.site.Stations[i]
	n := min(trays, station.SlotTrays)
	j := job{name: choreName(c, crop), chore: c, crop: crop, trays: n, due: none}
	st := stage{kind: k, stations: []int{i}, at: line.Nowhere, in: none, out: none, wet: none, hurry: none, fan: none, power: true}
	op := func(role role, d time.Duration) int {
		return m.add(op{job: len(m.jobs), role: role, dur: m.units(d)})
	}
	if m.throughout(st.stations) {
		st.work = []int{op(work, m.hand(i, crop, n))}
	} else {
		st.in = op(carry, m.site.HandsAtStart(i))
		if c == line.SanitizeAll {
			st.run = m.units(station.Contact)
		}
		st.out = op(take, m.site.HandsAtEnd(i)+station.Walk)
	}
	j.stages = []stage{st}
	m.jobs = append(m.jobs, j)
	return n
}

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

// waitFor lets a tray wash begin after the last cut and, where its machine runs
// alone, after the last machine of the greens.
func (m *Model) waitFor(chore, greens int) {
	j := &m.jobs[chore]
	load := m.site.Stations[j.stages[0].stations[0]].Load
	alone := load != line.NoLoad && m.site.Panel.Loads[load].Alone
	begin := j.stages[0].first()
	for b := range m.jobs[:greens] {
		g := &m.jobs[b]
		for k := range g.stages {
			st := &g.stages[k]
			if st.kind == line.Cut && st.first() != none || alone && st.kind <= line.Dry && st.power {
				m.links = append(m.links, link{g.leaves(k), begin})
			}
		}
	}
	m.waitForChores(chore, greens)
}

// waitForAll lets a chore begin when everything before it is over.
func (m *Model) waitForAll(chore int) { m.waitForChores(chore, 0) }

func (m *Model) waitForChores(chore, from int) {
	begin := m.jobs[chore].stages[0].first()
	for b := from; b < chore; b++ {
		if len(m.jobs[b].stages) > 0 {
			if end := m.jobs[b].end(); end != none {
				m.links = append(m.links, link{end, begin})
			}
		}
	}
}
