package plan

import (
	"maps"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/recipes"
)

// addBatch adds a batch's way from where it stands to the cold.
func (m *Model) addBatch(b *line.Batch, no *Impossible) {
	r, ok := m.state.RecipeOf(b)
	if !ok {
		no.add(say.New("plan-why.no-recipe", b.Crop))
		return
	}
	j := job{name: b.Name(), batch: b.ID, crop: b.Crop, trays: b.Trays, due: none}
	if !b.Due.IsZero() {
		j.due = max(0, m.floor(b.Due.Sub(m.Now)))
	}
	c := chain{m: m, j: &j, b: b, r: &r, no: no}
	from := line.Cut
	if b.Fate == line.OnLine {
		from = m.site.Stations[b.Step.Place.Station].Kind + 1
		c.standing()
	}
	for k := from; k <= line.Chill; k++ {
		if c.needs(k) {
			c.next(k)
		}
	}
	m.jobs = append(m.jobs, j)
}

// chain is a batch's way while it is put together.
type chain struct {
	m  *Model
	j  *job
	b  *line.Batch
	r  *recipes.Recipe
	no *Impossible
}

func (c *chain) needs(k line.Kind) bool {
	switch k {
	case line.Wash:
		return c.r.WashTime() > 0 && len(c.m.site.StationsOf(k)) > 0
	case line.Spin:
		return c.r.Spin > 0 && len(c.m.site.StationsOf(k)) > 0
	case line.Dry:
		return c.r.Dry > 0 && len(c.m.site.StationsOf(k)) > 0
	}
	return true
}

func (c *chain) op(role role, left int, d time.Duration) int {
	return c.m.add(op{job: len(c.m.jobs), stage: len(c.j.stages), role: role, left: left, dur: c.m.units(d)})
}

// throughout says whether hands are tied up all the time at the stations.
func (m *Model) throughout(stations []int) bool {
	return len(stations) > 0 && m.site.Stations[stations[0]].Hands == line.HandsThroughout
}

// next adds a stage that has not begun.
func (c *chain) next(k line.Kind) {
	m := c.m
	st := newStage(k, m.places(c.b.Name(), k, c.b.Trays, c.no))
	if len(st.stations) == 0 {
		return
	}
	hands, walk := c.leave()
	byHand := m.throughout(st.stations)
	if byHand {
		hands, walk = hands+walk, 0
	}
	if n := len(c.j.stages); n > 0 && hands > 0 {
		c.j.stages[n-1].out = m.add(op{job: len(m.jobs), stage: n - 1, role: take, dur: m.units(hands)})
	}
	if byHand {
		st.work = c.pieces(st.stations, k, 0)
	} else {
		st.in = c.op(carry, 0, walk+m.worst(st.stations, m.site.HandsAtStart))
		c.times(&st)
	}
	st.wet = c.wetAfter(k)
	st.power = k != line.Chill
	c.j.stages = append(c.j.stages, st)
}

// leave is what it takes to end the step before, and to walk on from there.
func (c *chain) leave() (hands, walk time.Duration) {
	n := len(c.j.stages)
	if n == 0 {
		return 0, 0
	}
	last := &c.j.stages[n-1]
	walk = c.m.worst(last.stations, func(i int) time.Duration { return c.m.site.Stations[i].Walk })
	if last.at != line.Nowhere && c.b.Step.Progress == line.Finished {
		return 0, walk
	}
	return c.m.worst(last.stations, c.m.site.HandsAtEnd), walk
}

// addStands lets greens stand at a spinner or on a rack before its machine starts,
// wherever that machine may have to wait for others.
func (m *Model) addStands() {
	for j := range m.jobs {
		for k := range m.jobs[j].stages {
			st := &m.jobs[j].stages[k]
			if st.kind != line.Spin && st.kind != line.Dry || st.at != line.Nowhere || st.in == none {
				continue
			}
			scarce := slices.ContainsFunc(st.stations, func(i int) bool { return m.scarce(m.site.Stations[i].Load) })
			if scarce {
				walk := m.worst(st.stations, func(i int) time.Duration { return m.site.Stations[i].Walk })
				st.on = m.add(op{job: j, stage: k, role: switchOn, dur: m.units(walk), optional: true})
			}
		}
	}
}

// scarce says whether a load may have to wait for others.
func (m *Model) scarce(load int) bool {
	return load != line.NoLoad && (m.hasChoice(load) || slices.ContainsFunc(m.mains, func(c mains) bool {
		return slices.ContainsFunc(m.allSettings(load), func(set int) bool { return c.need(load, set) > 0 })
	}))
}

func (m *Model) allSettings(load int) []int {
	out := make([]int, len(m.site.Panel.Loads[load].Settings))
	for i := range out {
		out[i] = i
	}
	return out
}

// countdown is how long the machine runs.
func (c *chain) countdown(stations []int, k line.Kind) time.Duration {
	m := c.m
	return m.worst(stations, func(i int) time.Duration {
		switch k {
		case line.Wash:
			return c.slower(i, c.r.WashTime())
		case line.Spin:
			return c.slower(i, c.r.Spin)
		case line.Dry:
			return c.dry(i, wants(m.state, i, c.b.Crop))
		}
		return 0
	})
}

// dry is how long the greens dry on a rack at a setting of its fans.
func (c *chain) dry(station, setting int) time.Duration {
	fan := c.m.site.Stations[station].Setting // off where people do without fans
	if load := c.m.site.Stations[station].Load; load != line.NoLoad {
		fan = c.m.site.Panel.Loads[load].Settings[setting].Name
	}
	return c.slower(station, c.m.state.DryTime(c.r, fan, c.m.Now))
}

// slower is a countdown with the troubles that are reported at a station.
func (c *chain) slower(station int, d time.Duration) time.Duration {
	return time.Duration(float64(d) * c.m.state.Slower(line.Place{Station: station, Slot: line.WholeStation}))
}

// times sets a stage's countdown: on a rack one for each setting of the fans.
func (c *chain) times(st *stage) {
	m := c.m
	if st.kind != line.Dry {
		st.run = m.units(c.countdown(st.stations, st.kind))
		return
	}
	st.runAt = map[fanAt]int{}
	for _, i := range st.stations {
		load := m.site.Stations[i].Load
		for _, set := range m.settings(st, i, c.b.Crop) {
			st.runAt[fanAt{load, set}] = m.units(c.dry(i, set))
		}
	}
	st.run = slices.Min(slices.Collect(maps.Values(st.runAt)))
}

// pieces cuts work by hand into trays, since a person may serve a machine between
// two of them. What has been done already comes off the first.
func (c *chain) pieces(stations []int, k line.Kind, done time.Duration) []int {
	m := c.m
	whole := m.worst(stations, func(i int) time.Duration { return m.hand(i, c.b.Crop, c.b.Trays) })
	total := max(0, whole-done)
	if run := c.countdown(stations, k); run > 0 { // a machine that nobody may leave
		return []int{c.op(work, 0, max(0, max(run, whole)-done))}
	}
	if whole == 0 {
		return []int{c.op(work, 0, 0)}
	}
	// On the grid, so that what is learned is not rounded up with every piece.
	per := time.Duration(m.units(max(1, whole/time.Duration(max(1, c.b.Trays))))) * m.Unit
	n := max(1, int((total+per-1)/per))
	var out []int
	for i := range n {
		d := per
		if i == 0 {
			d = total - per*time.Duration(n-1)
		}
		out = append(out, c.op(work, n-1-i, d))
	}
	return out
}

// wetAfter is how long greens may wait after a wet step.
func (c *chain) wetAfter(k line.Kind) int {
	if k != line.Wash && k != line.Spin || c.r.MaxWetWait <= 0 {
		return none
	}
	return c.m.floor(c.r.MaxWetWait)
}

// standing adds the stage at which the batch is now.
func (c *chain) standing() {
	m, step := c.m, &c.b.Step
	at := step.Place
	k := m.site.Stations[at.Station].Kind
	st := newStage(k, []int{at.Station})
	st.at, st.wet = at, c.wetAfter(k)
	hand := m.throughout(st.stations)
	if step.Progress != line.Finished && step.Progress != line.Running && m.dead(at.Station) {
		c.no.add(say.New("plan-why.stands-cannot-run-now", c.b.Name(), m.state.PlaceName(at)))
		return
	}
	if step.Active() && step.Load != line.NoLoad {
		st.fan = m.runsAt(step)
	}
	switch step.Progress {
	case line.Loaded:
		st.power, st.idle = true, true
		if hand {
			st.work = c.pieces(st.stations, k, 0)
		} else {
			st.in = c.op(switchOn, 0, m.site.Stations[at.Station].Walk)
			c.times(&st)
		}
	case line.Running:
		st.power = true
		c.rest(&st, hand, step.Ran(m.Now))
		st.soft = true
	case line.Held, line.Interrupted:
		st.power, st.again, st.idle = true, true, step.Progress == line.Held
		if hand {
			st.work = c.pieces(st.stations, k, step.Ran(m.Now))
		} else {
			st.in = c.op(carry, 0, m.site.Stations[at.Station].Walk)
			st.run = m.units(max(0, step.Left(m.Now)))
		}
		if !c.b.WetSince.IsZero() && c.r.MaxWetWait > 0 {
			st.hurry = max(0, m.floor(c.r.MaxWetWait-m.state.WetWait(c.b, m.Now)))
		}
	case line.Finished:
		st.soft = true
	}
	if st.wet != none && st.soft {
		st.wet = m.floor(c.r.MaxWetWait - m.state.WetWait(c.b, m.Now))
	}
	c.j.stages = append(c.j.stages, st)
}

// rest is what is left of a step that runs.
func (c *chain) rest(st *stage, hand bool, ran time.Duration) {
	if hand {
		st.work = c.pieces(st.stations, st.kind, ran)
		return
	}
	st.run = c.m.units(max(0, c.b.Step.Left(c.m.Now)))
}
