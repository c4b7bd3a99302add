package power

import "time"

// Open says whether a circuit's breaker is marked as tripped.
func (s State) Open(circuit int) bool {
	return circuit >= 0 && circuit < len(s.OpenCircuits) && s.OpenCircuits[circuit]
}

// Tripped returns the state after a circuit's breaker tripped: everything on it
// is off, and nothing on it starts until it is reset.
func (s State) Tripped(p *Panel, circuit int, now time.Time) State {
	next := s
	for i := range p.Loads {
		if p.Loads[i].Circuit == circuit {
			next = next.Switched(p, i, Status{}, now)
		}
	}
	return next.withOpen(p, circuit, true)
}

// Reset returns the state after a tripped breaker was reset.
func (s State) Reset(p *Panel, circuit int, now time.Time) State {
	return s.withOpen(p, circuit, false)
}

func (s State) withOpen(p *Panel, circuit int, open bool) State {
	circuits := make([]bool, len(p.Circuits))
	copy(circuits, s.OpenCircuits)
	circuits[circuit] = open
	s.OpenCircuits = circuits
	return s
}

// Retimed returns the state with the end of a load's countdown moved. The load is
// not switched.
func (s State) Retimed(load int, until time.Time) State {
	loads := make([]Status, len(s.Loads))
	copy(loads, s.Loads)
	loads[load].Until = until
	s.Loads = loads
	return s
}
