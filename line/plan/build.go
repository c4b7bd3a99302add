package plan

import (
	"cmp"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// build turns the live state at the instant now into a model. The error is an
// Impossible that names what cannot be done at all.
func build(s *line.State, now time.Time, paces line.Paces, lax bool) (*Model, error) {
	if s.Sheet == nil {
		return nil, &Impossible{Demands: []say.Sentence{say.New("plan-why.no-day-open-so")}}
	}
	s = s.WithStandIns()
	m := &Model{Now: now, site: s.Site, state: s, crew: max(1, len(s.Crew)), paces: paces, lax: lax}
	m.addFans()
	m.Unit = m.grid()
	m.addHours()
	m.addSlots()
	var no Impossible
	m.addTubs()
	for _, i := range onLineFirst(s) {
		m.addBatch(&s.Batches[i], &no)
	}
	m.addChores(&no)
	m.addMains(&no)
	m.fitFans()
	m.addStands()
	if len(no.Demands) > 0 {
		return nil, &no
	}
	return m, nil
}

// onLineFirst gives the batches that are left, those on the line first and the
// most advanced of them before the others, so that nobody is in the way of one that
// was placed earlier.
func onLineFirst(s *line.State) []int {
	var out []int
	for i := range s.Batches {
		if f := s.Batches[i].Fate; f == line.Waiting || f == line.OnLine {
			out = append(out, i)
		}
	}
	stand := func(i int) (kind, left int) {
		b := &s.Batches[i]
		if b.Fate == line.Waiting {
			return -1, 0
		}
		kind = int(s.Site.Stations[b.Step.Place.Station].Kind)
		if at, ok := b.Step.DueAt(); ok {
			left = int(at.Sub(s.At) / time.Second)
		}
		if b.Step.Progress == line.Finished {
			left = -1 << 30
		}
		return kind, left
	}
	slices.SortStableFunc(out, func(a, b int) int {
		ka, la := stand(a)
		kb, lb := stand(b)
		if c := cmp.Compare(kb, ka); c != 0 {
			return c
		}
		return cmp.Compare(la, lb)
	})
	return out
}

// addHours notes when not all of the crew are here. Somebody is, after the last of
// their hours: work goes on until it is done.
func (m *Model) addHours() {
	here := func(at time.Time) int { return len(m.state.Here(at)) }
	for at := m.Now; ; {
		next := m.state.HandsChange(at)
		if next.IsZero() {
			if here(at) == 0 {
				return
			}
			next = m.instant(farAway)
		}
		if n := m.crew - here(at); n > 0 {
			m.away = append(m.away, block{m.floor(at.Sub(m.Now)), m.units(next.Sub(m.Now)), n})
		}
		if at = next; !at.Before(m.instant(farAway)) {
			return
		}
	}
}

const (
	finestGrid   = 5 * time.Second
	coarsestGrid = 30 * time.Second
)

// grid is the unit of time: what all times of the line and the recipes are whole
// multiples of, within bounds. Times that are no multiple are rounded up.
func (m *Model) grid() time.Duration {
	unit := time.Duration(0)
	mix := func(d time.Duration) {
		for d > 0 {
			unit, d = d, unit%d
		}
	}
	for i := range m.site.Stations {
		st := &m.site.Stations[i]
		for _, d := range []time.Duration{st.HandsTime, st.PerTray, st.Walk, st.Contact, st.DrainTime} {
			mix(d)
		}
	}
	for i := range m.state.Batches {
		if r, ok := m.state.Recipe(m.state.Batches[i].Crop); ok {
			mix(r.WashTime())
			mix(r.Spin)
			mix(r.Dry)
		}
	}
	if unit < finestGrid {
		return finestGrid
	}
	for d := coarsestGrid; d > finestGrid; d -= time.Second {
		if unit%d == 0 {
			return d
		}
	}
	return finestGrid
}

// addSlots counts the slots that can be used: not broken, and with their breaker
// closed.
func (m *Model) addSlots() {
	m.slots = make([][]int, len(m.site.Stations))
	for i := range m.site.Stations {
		if m.dead(i) {
			continue
		}
		for slot := range m.site.Stations[i].Slots {
			if !m.state.IsBroken(line.Place{Station: i, Slot: slot}) {
				m.slots[i] = append(m.slots[i], slot)
			}
		}
	}
}

// stuck says whether a stage stands in a slot out of use, from which it goes on: to
// another place or by hand. Nobody else is to come there.
func (m *Model) stuck(st *stage) bool { return st.at != line.Nowhere && m.state.IsBroken(st.at) }

// dead says whether a station's breaker is open.
func (m *Model) dead(station int) bool {
	load := m.site.Stations[station].Load
	return load != line.NoLoad && m.state.Power.Open(m.site.Panel.Loads[load].Circuit)
}

// places lists the stations of a kind that can take a number of trays, or says why
// none can.
func (m *Model) places(name any, k line.Kind, trays int, no *Impossible) []int {
	var out []int
	why := say.New("plan-why.needs-place-line-none", name, k)
	most := 0
	for _, i := range m.site.StationsOf(k) {
		st := &m.site.Stations[i]
		most = max(most, st.SlotTrays)
		switch {
		case m.dead(i):
			why = say.New("plan-why.needs-but-breaker-open", name, st.Name, m.site.Panel.Circuits[m.site.Panel.Loads[st.Load].Circuit].Name)
		case len(m.slots[i]) == 0:
			why = say.New("plan-why.needs-but-every-place", name, st.Name)
		case trays <= st.SlotTrays:
			out = append(out, i)
		}
	}
	if len(out) == 0 {
		if most > 0 && trays > most {
			why = say.New("plan-why.trays-no-place-holds", name, trays, k, most)
		}
		no.add(why)
	}
	return out
}

// worst is the longest of a time over stations, or the shortest for a bound.
func (m *Model) worst(stations []int, f func(station int) time.Duration) time.Duration {
	var out time.Duration
	for n, i := range stations {
		d := f(i)
		if n == 0 || (d > out) != m.lax {
			out = d
		}
	}
	return out
}
