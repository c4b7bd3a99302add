package power

import (
	"slices"
	"time"

	"shedbell/line/say"
)

// Carried is s, which differs from was by what somebody told late, carried over the
// change from was to next at an instant: what was switched then is switched here, too.
// The load in doubt, if it is on, may have gone off then, or not. What the telling does not touch comes out as it was, to
// the last bit. By the books the wiring was that of entered.
func (s State) Carried(p, entered *Panel, was, next State, at time.Time, doubt int) State {
	at = at.Round(0)
	out := s
	out.Loads = slices.Clone(s.Loads)
	out.Heat = s.carriedHeat(p, entered, was, next, at)
	c := carrying{p: p, entered: entered, s: s, was: was, next: next, at: at, doubt: doubt}
	for i := range out.Loads {
		c.load(&out, i)
	}
	for circuit := range p.Circuits {
		out = c.circuit(out, circuit)
	}
	for i := range out.Loads {
		if c := p.Loads[i].Circuit; out.Open(c) && out.Loads[i].On && !out.Loads[i].InDoubt && !s.Loads[i].On {
			out = out.Live(p, c, at) // it has come on, so it has power
		}
	}
	return out
}

// carrying is what Carried works with.
type carrying struct {
	p, entered   *Panel
	s, was, next State
	at           time.Time
	doubt        int
}

// load carries what one load does.
func (c *carrying) load(out *State, i int) {
	p, s, at := c.p, c.s, c.at
	a, b, st := &c.was.Loads[i], &c.next.Loads[i], &out.Loads[i]
	if *a == *b {
		return
	}
	if c.gone(out, i) {
		return
	}
	switch {
	case a.PlugSeen != b.PlugSeen && b.LeftOn: // into an outlet without power, perhaps
		*st = p.plugged(s, i, at)
	case switched(a, b):
		*st = p.carried(s, i, *b, at)
		if a.On && b.OnSince.Equal(at) { // its plug went elsewhere
			st.Started, st.OnSince = at, at
		}
		if !b.On && a.PlugSeen == b.PlugSeen {
			st.DeclaredOff, st.PlugSeen, st.Outlet = s.Loads[i].DeclaredOff, s.Loads[i].PlugSeen, s.Loads[i].Outlet
		}
	case a.PlugSeen != b.PlugSeen && !b.DeclaredOff:
		*st = p.plugged(s, i, at)
	case st.On && b.On:
		st.Until, st.Spoils = b.Until, b.Spoils
		if b.InDoubt && !a.InDoubt {
			st.InDoubt, st.Books = true, b.Books
		}
	}
}

// gone carries what a load does whose going off is in doubt, or that goes with its
// circuit; false where it is neither.
func (c *carrying) gone(out *State, i int) bool {
	p, hung := c.p, c.entered.Loads[i].Circuit
	a, b, st := &c.was.Loads[i], &c.next.Loads[i], &out.Loads[i]
	opened, closed := !c.was.Open(hung) && c.next.Open(hung), c.was.Open(hung) && !c.next.Open(hung)
	switch {
	case i == c.doubt && st.On && (!b.On || p.settingA(i, b.Setting) < p.settingA(i, st.Setting)-slackA):
		st.InDoubt, st.Books = true, offInBooks
		if setting, on := b.InBooks(); on {
			st.Books = setting
		}
	case closed && (b.InDoubt || p.Loads[i].StaysOn) && a.PlugSeen == b.PlugSeen: // with its circuit
	case opened && !b.On:
		if hung == p.Loads[i].Circuit {
			*st = p.cutStatus(c.s, i, c.at)
		}
	default:
		return false
	}
	return true
}

// circuit carries whether one has power.
func (c *carrying) circuit(out State, circuit int) State {
	switch {
	case c.was.Open(circuit) == c.next.Open(circuit) && c.was.Dark(circuit) == c.next.Dark(circuit):
	case c.next.Open(circuit):
		for i := range out.Loads {
			if st := &out.Loads[i]; c.p.Loads[i].Circuit == circuit && st.On && i != c.doubt && (!c.next.Loads[i].On || c.entered.Loads[i].Circuit != circuit) {
				*st = c.p.cutStatus(out, i, c.at)
			}
		}
		return out.withOpen(c.p, circuit, true, c.next.Dark(circuit), c.at)
	case out.Open(circuit):
		return out.Live(c.p, circuit, c.at)
	}
	return out
}

// switched says whether a load does something else than before, or somebody has seen
// what it does.
func switched(was, is *Status) bool {
	return was.On != is.On || was.Since != is.Since || is.On && was.Setting != is.Setting || was.PerhapsOff() && !is.PerhapsOff() ||
		was.LeftOn != is.LeftOn || is.DeclaredOff && was.PlugSeen != is.PlugSeen
}

// carriedHeat brings up to an instant the poles that next has brought up then. Where an
// entry made a breaker hotter than its current did, it does so here.
func (s State) carriedHeat(p, entered *Panel, was, next State, at time.Time) []Heat {
	heat := make([]Heat, len(p.Circuits)+2*len(p.Feeders))
	copy(heat, s.Heat)
	p.eachPole(func(pl pole) {
		k := p.slot(pl)
		before, after := heatAtSlot(was, k), heatAtSlot(next, k)
		if own := heatAtSlot(s, k); !p.differs(entered, s, was, pl) && (before == after || own == before) {
			if before != after {
				heat[k] = after
			}
			return
		}
		heat[k] = p.heatOf(s, pl, at)
		if raised := entered.heatOf(was, pl, at).Level; before != after && after.Level > raised {
			heat[k].Level = max(heat[k].Level, after.Level)
		}
		heat[k].At = at
	})
	return heat
}

func heatAtSlot(s State, k int) Heat {
	if k < len(s.Heat) {
		return s.Heat[k]
	}
	return Heat{}
}

// differs says whether a load of a pole does something else, or hangs elsewhere, than
// by the books.
func (p *Panel) differs(entered *Panel, s, was State, pl pole) bool {
	for i := range p.Loads {
		c, e := p.Loads[i].Circuit, entered.Loads[i].Circuit
		if (p.on(pl, c) || p.on(pl, e)) && (c != e || s.Loads[i] != was.Loads[i] || s.Open(c) != was.Open(c)) {
			return true
		}
	}
	return false
}

// Replugged returns the state, of a panel that has a load on one circuit, as that of
// one that has it on another, its plug in from the instant now on. What was on is on
// there; on a circuit without power nothing is.
func (s State) Replugged(from, to *Panel, load int, now time.Time) State {
	now = now.Round(0)
	next := s
	if from.Loads[load].Circuit != to.Loads[load].Circuit {
		next.Heat = s.heatAt(from, from.Loads[load].Circuit, now)
		next.Heat = next.heatAt(from, to.Loads[load].Circuit, now)
		next.Loads = slices.Clone(s.Loads)
		if st := &next.Loads[load]; st.On {
			st.Started, st.OnSince = now, now
		}
	}
	return next.Switched(to, load, to.plugged(next, load, now), now)
}

// plugged is what a load does once its plug is in.
func (p *Panel) plugged(s State, load int, at time.Time) Status {
	st := s.Loads[load]
	st.DeclaredOff, st.PlugSeen, st.Outlet = false, at, at
	on, stays, setting := st.On || st.LeftOn, p.Loads[load].StaysOn, st.Setting
	if st.LeftOn {
		setting = st.LeftAt
	}
	switch open := s.Open(p.Loads[load].Circuit); {
	case open && stays:
		return Status{PlugSeen: at, Outlet: at}
	case open && on:
		return Status{LeftOn: true, LeftAt: setting, PlugSeen: at, Outlet: at}
	case st.LeftOn:
		return Status{On: true, Setting: setting, Since: at, InDoubt: true, Books: offInBooks, PlugSeen: at, Outlet: at}
	case stays && !on:
		return Status{On: true, Since: at, PlugSeen: at, Outlet: at}
	}
	return st
}

// Overload is a breaker that carries more than it may.
type Overload struct {
	Circuit, Feeder int // the other one is -1
	Outlook
	Since time.Time // when the last of its loads came on
}

// Overloads lists the breakers that carry more than they may at the instant now, a
// feeder once, by its fuller leg. What may be off is asked about and left out.
func (p *Panel) Overloads(s State, now time.Time) []Overload {
	var out []Overload
	p.eachPole(func(pl pole) {
		over := p.steadyA(s, pl, now) - p.limitOf(pl)
		for i := range p.Loads {
			if over > slackA && s.Loads[i].PerhapsOff() && p.on(pl, p.Loads[i].Circuit) {
				over -= p.countedA(s, i, now)
			}
		}
		if over <= slackA {
			return
		}
		o := Overload{Circuit: pl.circuit, Feeder: pl.feeder, Outlook: p.outlook(s, pl, now)}
		for i := range p.Loads {
			if st := &s.Loads[i]; p.on(pl, p.Loads[i].Circuit) && s.Drawing(p, i, now) {
				o.Since = latest(o.Since, latest(st.Since, st.started()))
			}
		}
		if o.Since.IsZero() {
			return // nothing has been switched
		}
		if n := len(out) - 1; n >= 0 && pl.feeder >= 0 && out[n].Feeder == pl.feeder {
			if o.AmpsA > out[n].AmpsA {
				out[n] = o
			}
			return
		}
		out = append(out, o)
	})
	return out
}

// Within says how soon the quickest breaker may trip, as a bound.
func (o *Outlook) Within() say.Sentence {
	switch d := o.TripIn; {
	case d == Never:
		return say.New("interlock.some-time")
	case d >= 2*time.Minute:
		return say.New("interlock.within-minutes")
	case d >= 15*time.Second:
		return say.New("interlock.within-a-minute")
	case d >= time.Second:
		return say.New("interlock.within-seconds")
	}
	return say.New("interlock.at-once")
}

// Relief is the smallest set of loads whose switching off ends an overload; nil where
// nothing may be switched off that would. It names no load whose greens would spoil.
func (p *Panel) Relief(s State, o *Overload, now time.Time) []int {
	w := weighing{p: p, s: s, q: Ask{Load: -1}, now: now, n: 1}
	for _, leg := range [2]Leg{LegA, LegB} {
		pl := pole{circuit: o.Circuit, feeder: o.Feeder}
		if o.Feeder >= 0 {
			pl.leg = leg
		}
		if x := (poleWeight{pole: pl, after: p.steadyA(s, pl, now)}); x.after > w.poles[0].after {
			w.poles[0] = x
		}
	}
	srch := offSearch{n: 3}
	srch.needs[0] = w.poles[0].after - o.LimitA
	w.choices(&srch, nil)
	if !srch.run() {
		return nil
	}
	return srch.bestLoads()
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
