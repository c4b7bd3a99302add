package line

import (
	"slices"
	"time"

	"shedbell/line/say"
	"shedbell/power"
)

// LimitCircuit counts a circuit from now on at what its trips have taught.
type LimitCircuit struct{ Circuit int }

// CircuitLimited says so.
type CircuitLimited struct {
	Circuit    int
	EffectiveA float64
}

// TripKept is a trip of a circuit that nothing has been learned from yet.
type TripKept struct {
	Circuit string // as places in the list change with the line file
	Trip    power.Trip
}

// LearnedLimit is a limit that somebody took over from a circuit's trips. It holds for the
// breaker that it was learned of, as long as the line file has no lower one.
type LearnedLimit struct {
	Circuit              string
	BreakerA, EffectiveA float64
	WasA                 float64 // what it counted as before; 0: as its breaker
}

// enoughTrips is how many trips against the model a lower limit needs: one may be a fault.
const enoughTrips = 2

// keptTrips bounds them.
const keptTrips = 40

// Lesson is what a circuit's trips teach; false while they teach no lower limit.
func (s *State) Lesson(circuit int) (power.Lesson, bool) {
	if !s.hasCircuit(circuit) || len(s.Trips) < enoughTrips {
		return power.Lesson{}, false
	}
	c := &s.Site.Panel.Circuits[circuit]
	var trips []power.Trip
	for _, t := range s.Trips {
		if t.Circuit == c.Name {
			t.Trip.Circuit = circuit
			trips = append(trips, t.Trip)
		}
	}
	l := s.Site.Panel.LearnFromTrips(circuit, trips)
	limit := c.RatingA
	if c.EffectiveA > 0 {
		limit = min(limit, c.EffectiveA)
	}
	return l, l.Weak >= enoughTrips && l.EffectiveA > 0 && l.EffectiveA < limit
}

func (c LimitCircuit) decide(d *draft) *Refusal {
	l, ok := d.s.Lesson(c.Circuit)
	if !ok {
		return refuse(RuleNothing, "line.no-lesson")
	}
	d.undo = say.New("undo.limit", say.Circuit(d.s.Site.Panel.Circuits[c.Circuit].Name))
	d.emit(CircuitLimited{Circuit: c.Circuit, EffectiveA: l.EffectiveA})
	return nil
}

func (e CircuitLimited) apply(s *State, r Record) {
	if !s.hasCircuit(e.Circuit) {
		return
	}
	c := &s.Site.Panel.Circuits[e.Circuit]
	learned := LearnedLimit{Circuit: c.Name, BreakerA: c.RatingA, EffectiveA: e.EffectiveA, WasA: c.EffectiveA}
	s.Learned = append(slices.DeleteFunc(slices.Clone(s.Learned), func(l LearnedLimit) bool { return l.Circuit == c.Name }), learned)
	s.Trips = slices.DeleteFunc(slices.Clone(s.Trips), func(t TripKept) bool { return t.Circuit == c.Name })
	was := s.Site
	s.Site = s.WithLearned(was)
	if s.File != nil {
		s.File = s.WithLearned(s.File)
	}
	s.Power = s.Power.Limited(&was.Panel, &s.Site.Panel, e.Circuit, r.At)
}

// WithLearned is a line with the limits that were learned from trips. What its file says
// itself comes first, and another breaker has to be learned of anew.
func (s *State) WithLearned(site *Site) *Site {
	for _, l := range s.Learned {
		i, ok := site.Panel.CircuitByName(l.Circuit)
		if ok && site.Panel.Circuits[i].RatingA == l.BreakerA && (site.Panel.Circuits[i].EffectiveA == 0 || site.Panel.Circuits[i].EffectiveA > l.EffectiveA) {
			site = site.counting(i, l.EffectiveA)
		}
	}
	return site
}

// counting is the line with a circuit that counts as so many amperes.
func (s *Site) counting(circuit int, effectiveA float64) *Site {
	again := *s
	again.Panel.Circuits = slices.Clone(s.Panel.Circuits)
	again.Panel.Circuits[circuit].EffectiveA = effectiveA
	return &again
}

// unlearn takes limits back that were taken over by mistake: those that are no longer among
// the learned ones. The breaker stays as warm as it was held to be.
func (s *State) unlearn(were []LearnedLimit) {
	for _, l := range were {
		i, ok := s.Site.Panel.CircuitByName(l.Circuit)
		if !ok || slices.Contains(s.Learned, l) {
			continue
		}
		s.Site = s.Site.counting(i, l.WasA)
		if s.File != nil {
			s.File = s.File.counting(i, l.WasA)
		}
	}
}

// keepTrip keeps a circuit's trip for what it teaches.
func (s *State) keepTrip(e *BreakerTripped, at time.Time) {
	if e.Feeder != "" || !s.hasCircuit(e.Circuit) {
		return
	}
	s.Trips = append(slices.Clone(s.Trips), TripKept{s.Site.Panel.Circuits[e.Circuit].Name, e.Trip(s, at)})
	s.Trips = s.Trips[max(0, len(s.Trips)-keptTrips):]
}
