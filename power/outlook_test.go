package power

import (
	"math"
	"testing"
	"time"
)

// A feeder of 40 A in a place of 50 C, where 1 percent a kelvin above the 40 C of
// UL 489 is taken off: 36 A. The legs carry what their circuits carry, one of both
// legs on each.
func TestOutlookOfFeederAndCircuit(t *testing.T) {
	p := &Panel{VoltageV: 120, AmbientC: 50, DeratePerK: 0.01, Feeders: []Feeder{{Name: "main", RatingA: 40}},
		Circuits: []Circuit{{Name: "north", RatingA: 20, Feeder: "main", Leg: LegA}, {Name: "heat", RatingA: 30, Feeder: "main", Leg: LegBoth}},
		Loads: []Load{
			{Name: "pump", Circuit: 0, Settings: []Setting{{"on", 9}}, StartingA: 45, StartingTime: 2 * time.Second},
			{Name: "heater", Circuit: 1, Settings: []Setting{{"on", 18}}},
		}}
	s := NewState(p).Switched(p, 1, Status{On: true, Since: t0}, t0)
	later := t0.Add(24 * time.Hour)
	a, b := p.FeederOutlook(s, 0, later)
	if a != b || a.AmpsA != 18 || math.Abs(a.LimitA-36) > 1e-9 || a.StartA != 0 || a.TripIn != Never {
		t.Errorf("with the heater alone the legs are %+v and %+v, want 18 of 36 A on each", a, b)
	}
	if want := 0.25; math.Abs(a.Heat-want) > 1e-6 { // heat goes with the square: (18/36)^2
		t.Errorf("heat %.3f after a day, want %.3f", a.Heat, want)
	}
	s = s.Switched(p, 0, Status{On: true, Since: later}, later)
	c := p.CircuitOutlook(s, 0, later.Add(time.Second))
	if c.AmpsA != 9 || c.StartA != 36 || math.Abs(c.LimitA-18) > 1e-9 || c.TripIn <= 0 || c.TripIn == Never {
		t.Errorf("the starting pump's circuit is %+v, want 9 A and 36 A on top, of 18 A, with an end", c)
	}
	a, b = p.FeederOutlook(s, 0, later.Add(time.Second))
	if a.AmpsA != 27 || a.StartA != 36 || b.AmpsA != 18 || b.StartA != 0 {
		t.Errorf("the legs are %+v and %+v, want 27 A and a start, and 18 A", a, b)
	}
	if c := p.CircuitOutlook(s, 0, later.Add(time.Hour)); c.StartA != 0 || c.TripIn != Never {
		t.Errorf("an hour on the circuit is %+v, want neither start nor trip", c)
	}
}
