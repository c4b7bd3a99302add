package power

import (
	"slices"
	"time"
)

// Open says whether a circuit has no power: its breaker has tripped, or the power is
// away.
func (s State) Open(circuit int) bool {
	return circuit >= 0 && circuit < len(s.OpenCircuits) && s.OpenCircuits[circuit]
}

// Dark says whether a circuit has no power although its breaker is in.
func (s State) Dark(circuit int) bool {
	return circuit >= 0 && circuit < len(s.DarkCircuits) && s.DarkCircuits[circuit]
}

// Tripped returns the state after a circuit's breaker tripped: everything on it
// is off, and nothing on it starts until it is reset. The breaker is as hot as
// it must have been.
func (s State) Tripped(p *Panel, circuit int, now time.Time) State {
	next := s
	next.Heat = s.heatAt(p, circuit, now.Round(0))
	next = next.cut(p, circuit, false, now)
	next.Heat[circuit].Level = max(1, next.Heat[circuit].Level)
	return next
}

// FeederTripped returns the state after a feeder's breaker tripped: every circuit
// on it is dead and counts as open.
func (s State) FeederTripped(p *Panel, feeder int, now time.Time) State {
	next := s
	for c := range p.Circuits {
		if p.Circuits[c].Feeder == p.Feeders[feeder].Name {
			next = next.cut(p, c, false, now)
		}
	}
	for _, leg := range [2]Leg{LegA, LegB} {
		k := p.slot(pole{circuit: -1, feeder: feeder, leg: leg})
		if k < len(next.Heat) {
			next.Heat[k].Level = max(1, next.Heat[k].Level)
		}
	}
	return next
}

// Lost returns the state after a circuit lost its power with its breaker in.
func (s State) Lost(p *Panel, circuit int, now time.Time) State { return s.cut(p, circuit, true, now) }

// cut takes the power from a circuit. What was on may come on again with it.
func (s State) cut(p *Panel, circuit int, dark bool, now time.Time) State {
	next := s
	for i := range p.Loads {
		if p.Loads[i].Circuit == circuit {
			next = next.Switched(p, i, p.cutStatus(s, i, now), now)
		}
	}
	return next.withOpen(p, circuit, true, dark, now)
}

// cutStatus is what a load does without power.
func (p *Panel) cutStatus(s State, i int, now time.Time) Status {
	was := &s.Loads[i]
	st := Status{DeclaredOff: was.DeclaredOff}
	if !p.Loads[i].StaysOn && (was.LeftOn || s.Drawing(p, i, now)) {
		st.LeftOn, st.LeftAt = true, was.Setting
		if was.LeftOn {
			st.LeftAt = was.LeftAt
		}
	}
	return st
}

// Live returns the state after a circuit got its power back. What is never switched off
// comes back by itself. A machine that was on, and that nobody has found switched off
// since, may have come on again: it counts as on until somebody says what it does.
func (s State) Live(p *Panel, circuit int, now time.Time) State {
	next := s.Reset(p, circuit, now)
	for i := range p.Loads {
		if st := &s.Loads[i]; p.Loads[i].Circuit == circuit && st.LeftOn {
			next = next.Switched(p, i, Status{On: true, Setting: st.LeftAt, Since: now, InDoubt: true, Books: offInBooks}, now)
		}
	}
	return next
}

// Reset returns the state after a circuit's tripped breaker was reset, or that of the
// feeder before it, with everything on it off that may be.
func (s State) Reset(p *Panel, circuit int, now time.Time) State {
	loads := slices.Clone(s.Loads)
	for i := range loads {
		if p.Loads[i].Circuit == circuit && loads[i].LeftOn {
			loads[i].LeftOn, loads[i].LeftAt = false, 0
		}
	}
	next := s.withOpen(p, circuit, false, false, now)
	next.Loads = loads
	for i := range loads {
		if p.Loads[i].Circuit == circuit && p.Loads[i].StaysOn && !loads[i].DeclaredOff && !loads[i].On {
			next = next.Switched(p, i, Status{On: true, Since: now}, now)
		}
	}
	return next
}

func (s State) withOpen(p *Panel, circuit int, open, dark bool, now time.Time) State {
	s.Heat = s.heatAt(p, circuit, now.Round(0))
	s.OpenCircuits = set(s.OpenCircuits, circuit, open, len(p.Circuits))
	if dark || s.Dark(circuit) {
		s.DarkCircuits = set(s.DarkCircuits, circuit, dark, len(p.Circuits))
	}
	return s
}

// set is a list with one flag set to on.
func set(flags []bool, i int, on bool, n int) []bool {
	out := make([]bool, n)
	copy(out, flags)
	out[i] = on
	return out
}
