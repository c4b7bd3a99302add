package power

import "time"

// Open says whether a circuit's breaker is marked as tripped.
func (s State) Open(circuit int) bool {
	return circuit >= 0 && circuit < len(s.OpenCircuits) && s.OpenCircuits[circuit]
}

// Tripped returns the state after a circuit's breaker tripped: everything on it
// is off, and nothing on it starts until it is reset. The breaker is as hot as
// it must have been.
func (s State) Tripped(p *Panel, circuit int, now time.Time) State {
	next := s
	next.Heat = s.heatAt(p, circuit, now.Round(0))
	next = next.cut(p, circuit, now)
	next.Heat[circuit].Level = max(1, next.Heat[circuit].Level)
	return next
}

// FeederTripped returns the state after a feeder's breaker tripped: every circuit
// on it is dead and counts as open.
func (s State) FeederTripped(p *Panel, feeder int, now time.Time) State {
	next := s
	for c := range p.Circuits {
		if p.Circuits[c].Feeder == p.Feeders[feeder].Name {
			next = next.cut(p, c, now)
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

// cut switches off everything on a circuit and opens it.
func (s State) cut(p *Panel, circuit int, now time.Time) State {
	next := s
	for i := range p.Loads {
		if p.Loads[i].Circuit == circuit {
			next = next.Switched(p, i, Status{DeclaredOff: s.Loads[i].DeclaredOff}, now)
		}
	}
	return next.withOpen(p, circuit, true, now)
}

// Reset returns the state after a circuit's tripped breaker was reset, or that of the
// feeder before it.
func (s State) Reset(p *Panel, circuit int, now time.Time) State {
	return s.withOpen(p, circuit, false, now)
}

func (s State) withOpen(p *Panel, circuit int, open bool, now time.Time) State {
	heat := s.heatAt(p, circuit, now.Round(0))
	circuits := make([]bool, len(p.Circuits))
	copy(circuits, s.OpenCircuits)
	circuits[circuit] = open
	s.OpenCircuits, s.Heat = circuits, heat
	return s
}
