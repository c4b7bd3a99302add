package records

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"time"

	"shedbell/line/say"
	"shedbell/power"
)

// Cause is what a batch waits for.
type Cause int

// Causes. Each but the last two is a limit; where none holds, the batch waits for one
// that goes first, and where none does either, for somebody to begin.
const (
	HeldByHands Cause = iota
	HeldByStation
	HeldByWater
	HeldByCircuit
	HeldByOrder
	HeldByDecision
)

// Held is how long batches waited for one thing. Time for which two or more limits held
// a batch together, so that lifting one would not have freed it, is shared evenly among
// them.
type Held struct {
	Cause Cause
	Name  string // the station; the circuit
	Wants string // the load that was to start on the circuit
	First string // the load that had to go off first
	For   time.Duration
}

// Says is what held, in words.
func (h *Held) Says() say.Sentence {
	switch h.Cause {
	case HeldByStation:
		return say.New("held.station", say.Of(h.Name))
	case HeldByWater:
		return say.New("held.water", say.Of(h.Name))
	case HeldByCircuit:
		return say.New("held.circuit", h.Name, h.First, h.Wants)
	case HeldByOrder:
		return say.New("held.order")
	case HeldByDecision:
		return say.New("held.decision")
	}
	return say.New("held.hands")
}

// change is something that frees or holds a batch, at an instant.
type change struct {
	at      int64
	i       int32 // row, load or wait
	n       int16 // one more or one less; the people on the line
	setting int8
	what    changed
}

type changed int8

const (
	handsChanged changed = iota
	crewChanged
	slotChanged
	waterChanged
	loadChanged
	powerChanged // a circuit has tripped or has power again
	waitChanged
)

// during notes what holds for a stretch.
func (d *dayFold) during(what changed, i, setting int, from, to int64) {
	if to > from {
		d.changes = append(d.changes, change{from, int32(i), 1, int8(setting), what}, change{to, int32(i), -1, int8(setting), what})
	}
}

// ran notes that a run's load was on; one that switches itself off was so until its
// countdown was over.
func (d *dayFold) ran(u *run, to int64) {
	p := &d.r.site.Panel
	if u.load < 0 || u.load >= len(p.Loads) {
		return
	}
	if p.Loads[u.load].SelfOff && u.planned > 0 {
		to = min(to, u.due())
	}
	d.during(loadChanged, u.load, u.setting, u.from, to)
}

// fit is the interlock's answer for one load beside others.
type fit struct {
	refused        bool
	circuit, first int // the load that, off, would let it start; -1: no single one
}

type fitKey struct {
	load, setting int
	on            uint64
}

// at is the line while the day is swept from change to change.
type sweep struct {
	d            *dayFold
	busy, people int
	trips        int
	slots, water []int // of each row
	on           []int // of each load
	settings     []int
	key          uint64 // of what is on
	active       []int  // waits
	power        []span // while a wait is held by power
	held         []heldRow
	used         uint64 // loads that kept each other off
}

type heldRow struct {
	cause        Cause
	at           int // row; circuit
	wants, first int
	t            int64
}

// findCauses gives each minute of a wait to what held it: to what would have had to be
// otherwise at that instant for the batch to go on. It returns when power held a batch.
func (d *dayFold) findCauses() spans {
	p := &d.r.site.Panel
	s := sweep{d: d, people: 1, slots: make([]int, len(d.rows)), water: make([]int, len(d.rows)), on: make([]int, len(p.Loads)), settings: make([]int, len(p.Loads))}
	for _, h := range d.hands {
		d.during(handsChanged, 0, 0, h.from, h.to)
	}
	all := d.changes
	for _, c := range d.crew {
		all = append(all, change{at: c.at, what: crewChanged, n: int16(max(1, c.n))})
	}
	for _, x := range union(d.power) {
		all = append(all, change{at: x.from, what: powerChanged, n: 1}, change{at: x.to, what: powerChanged, n: -1})
	}
	for i := range d.waits {
		if w := &d.waits[i]; w.free() > w.from {
			all = append(all, change{at: w.from, what: waitChanged, i: int32(i), n: 1}, change{at: w.free(), what: waitChanged, i: int32(i), n: -1})
		}
	}
	d.changes = all
	last := int64(0)
	for _, i := range d.r.inOrder(all) {
		if c := &all[i]; c.at > last && len(s.active) > 0 {
			s.stretch(last, c.at)
		}
		last = all[i].at
		s.take(&all[i])
	}
	d.day.Held = s.sum()
	d.crowded = s.used
	return union(s.power)
}

// inOrder gives the changes in the order of time. Instant and place in the list are sorted
// as one number, which takes a third of the time.
func (r *Reader) inOrder(all []change) []int64 {
	if len(all) == 0 {
		return nil
	}
	first := slices.MinFunc(all, func(a, b change) int { return cmp.Compare(a.at, b.at) }).at
	wide := bits.Len(uint(len(all)))
	r.order = r.order[:0]
	for i := range all {
		r.order = append(r.order, min(all[i].at-first, math.MaxInt64>>wide)<<wide|int64(i))
	}
	slices.Sort(r.order)
	for i := range r.order {
		r.order[i] &= 1<<wide - 1
	}
	return r.order
}

func (s *sweep) take(c *change) {
	i, n := int(c.i), int(c.n)
	switch c.what {
	case handsChanged:
		s.busy += n
	case crewChanged:
		s.people = n
	case slotChanged:
		s.slots[i] += n
	case waterChanged:
		s.water[i] += n
	case powerChanged:
		s.trips += n
	case loadChanged:
		if i >= len(s.on) {
			return // the line was laid anew
		}
		was := s.on[i]
		s.on[i] += n
		if n > 0 {
			s.settings[i] = int(c.setting)
		}
		if (was > 0) != (s.on[i] > 0) {
			s.key ^= 1 << (i % 64)
		}
	case waitChanged:
		if n > 0 {
			s.active = append(s.active, i)
		} else if k := slices.Index(s.active, i); k >= 0 {
			s.active = slices.Delete(s.active, k, k+1)
		}
	}
}

// stretch shares out time in which nothing changed.
func (s *sweep) stretch(from, to int64) {
	byPower := false
	for _, i := range s.active {
		w := &s.d.waits[i]
		limits, f := s.limits(w)
		n := int64(bits.OnesCount(limits))
		part, rest := (to-from)/n, (to-from)%n
		for c := HeldByHands; c <= HeldByDecision; c++ {
			if limits&(1<<c) == 0 {
				continue
			}
			t := part + rest
			rest = 0
			row := heldRow{cause: c, t: t}
			switch c {
			case HeldByHands:
				w.byHands += t
			case HeldByCircuit:
				w.byPower += t
				byPower = true
				row.at, row.wants, row.first = f.circuit, w.load, f.first
			case HeldByStation, HeldByWater:
				row.at = w.row
			}
			s.add(row)
		}
	}
	if byPower {
		s.power = append(s.power, span{from, to})
	}
}

// limits are those that hold a wait's batch now, a bit for each cause.
func (s *sweep) limits(w *wait) (held uint, f fit) {
	if s.busy >= s.people {
		held |= 1 << HeldByHands
	}
	if !w.out {
		switch {
		case s.water[w.row] > 0:
			held |= 1 << HeldByWater
		case w.own != w.row && !s.room(w.row):
			held |= 1 << HeldByStation
		}
		if s.trips > 0 {
			f = fit{true, -1, -1}
		} else if w.load >= 0 && w.load < len(s.on) {
			f = s.fits(w.load, w.setting)
		}
		if f.refused {
			held |= 1 << HeldByCircuit
		}
	}
	switch {
	case held != 0:
	case s.overtaken(w):
		held = 1 << HeldByOrder
	default:
		held = 1 << HeldByDecision
	}
	return held, f
}

// room says whether a station of a row's kind has a free place.
func (s *sweep) room(row int) bool {
	kind := s.d.day.Stations[row].Kind
	for i := range s.d.day.Stations {
		if st := &s.d.day.Stations[i]; st.Kind == kind && s.slots[i] < st.Slots {
			return true
		}
	}
	return false
}

// overtaken says that a batch which came later goes first.
func (s *sweep) overtaken(w *wait) bool {
	for _, i := range s.active {
		if o := &s.d.waits[i]; o.row == w.row && !o.out && o.from > w.from && o.to < w.to {
			return true
		}
	}
	return false
}

// fits asks the interlock whether a load may start beside what is on, once for every
// set of loads.
func (s *sweep) fits(load, setting int) fit {
	p := &s.d.r.site.Panel
	key := fitKey{load, setting, s.key}
	f, ok := s.d.r.fits[key]
	if !ok {
		f = s.judge(p, load, setting)
		s.d.r.fits[key] = f
	}
	if f.refused && f.first >= 0 {
		s.used |= 1<<(load%64) | 1<<(f.first%64)
	}
	return f
}

func (s *sweep) judge(p *power.Panel, load, setting int) fit {
	state := power.NewState(p)
	now := s.d.day.Opened
	for i := range state.Loads {
		l := &p.Loads[i]
		on := s.on[i] > 0 || l.StaysOn && !l.Cycles
		state.Loads[i] = power.Status{On: on, Setting: min(s.settings[i], len(l.Settings)-1), Since: now.Add(-time.Hour)}
	}
	ask := power.Ask{Load: load, Setting: min(max(setting, 0), len(p.Loads[load].Settings)-1)}
	if p.Allows(state, ask, now) {
		return fit{}
	}
	f := fit{true, p.Loads[load].Circuit, -1}
	for i := range state.Loads {
		if i == load || s.on[i] == 0 {
			continue
		}
		state.Loads[i].On = false
		free := p.Allows(state, ask, now)
		state.Loads[i].On = true
		if free {
			f.circuit, f.first = p.Loads[i].Circuit, i
			break
		}
	}
	return f
}

func (s *sweep) add(row heldRow) {
	for i := range s.held {
		if h := &s.held[i]; h.cause == row.cause && h.at == row.at && h.wants == row.wants && h.first == row.first {
			h.t += row.t
			return
		}
	}
	s.held = append(s.held, row)
}

// sum is what held, the longest first.
func (s *sweep) sum() []Held {
	if len(s.held) == 0 {
		return nil
	}
	p := &s.d.r.site.Panel
	load := func(i int) string {
		if i < 0 || i >= len(p.Loads) {
			return ""
		}
		return p.Loads[i].Name
	}
	slices.SortStableFunc(s.held, func(a, b heldRow) int { return cmp.Compare(b.t, a.t) })
	out := make([]Held, len(s.held))
	for i, h := range s.held {
		out[i] = Held{Cause: h.cause, For: time.Duration(h.t)}
		switch h.cause {
		case HeldByStation, HeldByWater:
			out[i].Name = s.d.day.Stations[h.at].Name
		case HeldByCircuit:
			if h.at >= 0 {
				out[i].Name = p.Circuits[h.at].Name
			}
			out[i].Wants, out[i].First = load(h.wants), load(h.first)
		}
	}
	return out
}

// Held is what batches waited for on all days, the longest first.
func (b *Book) Held() []Held {
	sum := map[Held]time.Duration{}
	for i := range b.Days {
		for _, h := range b.Days[i].Held {
			t := h.For
			h.For = 0
			sum[h] += t
		}
	}
	out := make([]Held, 0, len(sum))
	for h, t := range sum {
		h.For = t
		out = append(out, h)
	}
	slices.SortFunc(out, func(a, b Held) int {
		return cmp.Or(cmp.Compare(b.For, a.For), cmp.Compare(a.Cause, b.Cause), cmp.Compare(a.Name+a.Wants+a.First, b.Name+b.Wants+b.First))
	})
	return out
}

// circuitCycles are the circuits whose loads kept each other off, as far as those loads
// ran.
func (d *dayFold) circuitCycles() []Cycle {
	if d.crowded == 0 {
		return nil
	}
	p := &d.r.site.Panel
	runs := make([][]span, len(p.Circuits))
	open := make([][]int64, len(p.Loads))
	for _, i := range d.r.order {
		c := &d.changes[i]
		if c.what != loadChanged || int(c.i) >= len(open) || d.crowded&(1<<(c.i%64)) == 0 {
			continue
		}
		if c.n > 0 {
			open[c.i] = append(open[c.i], c.at)
		} else if k := len(open[c.i]); k > 0 {
			runs[p.Loads[c.i].Circuit] = append(runs[p.Loads[c.i].Circuit], span{open[c.i][k-1], c.at})
			open[c.i] = open[c.i][:k-1]
		}
	}
	var out []Cycle
	for i, all := range runs {
		if busy := union(all).total(); busy > 0 {
			c := Cycle{Name: p.Circuits[i].Name, Circuit: true, Busy: busy, Places: 1, Load: float64(busy) / float64(d.day.Length())}
			if d.day.Trays > 0 {
				c.PerTray = busy / time.Duration(d.day.Trays)
			}
			out = append(out, c)
		}
	}
	return out
}
