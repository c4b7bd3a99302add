package line

import (
	"math"
	"time"

	"shedbell/power"
)

// TripFound is what the model held of a circuit when its breaker was marked as
// tripped, so that it can be judged later whether it should have foreseen it.
type TripFound struct {
	On     []TripLoad
	AmpsA  float64 // counted on the circuit, with what was reserved
	PeakA  float64 // with motors that were just starting
	LimitA float64 // what the circuit was held to carry
	Heat   float64 // share of the trip curve used up; from 1 on a trip was expected
}

// TripLoad is a load that was on when a breaker tripped.
type TripLoad struct {
	Load, Setting int
	AmpsA         float64
	For           time.Duration // how long it had been on
	Starting      bool          `json:",omitempty"`
}

// foundAt words the interlock's record for the journal.
func foundAt(t power.Trip) *TripFound {
	f := &TripFound{AmpsA: finite(t.AmpsA), PeakA: finite(t.PeakA), LimitA: finite(t.LimitA), Heat: finite(t.Heat)}
	for _, l := range t.On {
		f.On = append(f.On, TripLoad{Load: l.Load, Setting: l.Setting, AmpsA: finite(l.AmpsA), For: l.For, Starting: l.Starting})
	}
	return f
}

// foundOnFeeder is what was on behind a feeder's breaker, and how its fuller leg
// stood.
func foundOnFeeder(s *State, name string, now time.Time) *TripFound {
	p := &s.Site.Panel
	f := &TripFound{}
	if i, ok := s.Site.feeder(name); ok {
		leg, other := p.FeederOutlook(s.Power, i, now)
		if other.Heat > leg.Heat {
			leg = other
		}
		f = &TripFound{AmpsA: finite(leg.AmpsA), PeakA: finite(leg.AmpsA + leg.StartA), LimitA: finite(leg.LimitA), Heat: finite(leg.Heat)}
	}
	for _, c := range s.Site.circuitsOf(0, name) {
		f.On = append(f.On, foundAt(p.RecordTrip(s.Power, c, now)).On...)
	}
	return f
}

// finite keeps what JSON cannot write out of the journal.
func finite(x float64) float64 { return min(max(x, -math.MaxFloat32), math.MaxFloat32) }

// Trip is the record of a trip as the interlock learns from it. For an event of an
// earlier version, what was going on is taken from s, the state before it.
func (e *BreakerTripped) Trip(s *State, at time.Time) power.Trip {
	if e.Found == nil { // no journal of an earlier version knows feeders
		return s.Site.Panel.RecordTrip(s.Power, e.Circuit, at)
	}
	f := e.Found
	t := power.Trip{Circuit: e.Circuit, At: at, AmpsA: f.AmpsA, PeakA: f.PeakA, LimitA: f.LimitA, Heat: f.Heat}
	for _, l := range f.On {
		t.On = append(t.On, power.TripLoad{Use: power.Use{Load: l.Load, Setting: l.Setting}, AmpsA: l.AmpsA, For: l.For, Starting: l.Starting})
	}
	return t
}
