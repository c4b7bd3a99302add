package power

import (
	"math"
	"strings"
	"testing"
	"time"
)

func TestTrippedBreakerStaysDead(t *testing.T) {
	p := smallShed()
	s := NewState(p).Switched(p, 2, on(0, t0), t0).Switched(p, 1, on(1, t0), t0)
	at := t0.Add(time.Minute)
	trip := p.RecordTrip(s, 1, at)
	if trip.AmpsA != 11 || len(trip.On) != 1 || trip.On[0].For != time.Minute || trip.Predicted() {
		t.Fatalf("%+v", trip)
	}
	s = s.Tripped(p, 1, at)
	if s.Loads[2].On || !s.Loads[1].On || p.Amps(s, 1, at) != 0 || p.Heat(s, 1, at) != 1 {
		t.Fatalf("%+v, %v A", s, p.Amps(s, 1, at))
	}
	v := p.Judge(s, Ask{Load: 2}, at)
	if v.Allowed || v.Reasons[0].Rule != RuleTripped || len(v.SwitchOff) > 0 || !v.Earliest.IsZero() {
		t.Fatalf("%+v", v)
	}
	later := at.Add(10 * time.Minute)
	s = s.Reset(p, 1, later)
	if v := p.Judge(s, Ask{Load: 2}, later); !v.Allowed {
		t.Fatal(v.Says().String())
	}
	if h := p.Heat(s, 1, later); h >= 0.5 || p.Amps(s, 1, later) != 6 {
		t.Fatalf("heat %v, %v A", h, p.Amps(s, 1, later))
	}
}

func TestFeederTripOpensItsCircuits(t *testing.T) {
	p := smallShed()
	p.Feeders = []Feeder{{Name: "main", RatingA: 30}}
	p.Circuits[1].Feeder = "main"
	s := NewState(p).Switched(p, 2, on(0, t0), t0).FeederTripped(p, 0, t0)
	if s.Open(0) || !s.Open(1) || s.Loads[2].On {
		t.Fatalf("%+v", s)
	}
	if a, b := p.FeederOutlook(s, 0, t0); a.AmpsA != 0 || b.AmpsA != 0 {
		t.Fatalf("a dead feeder carries %v and %v A", a.AmpsA, b.AmpsA)
	}
	for c := range p.Circuits {
		if s = s.Reset(p, c, t0.Add(time.Hour)); s.Open(c) {
			t.Fatal("still open")
		}
	}
}

// An old state is not changed by what is done to a newer one.
func TestStatesAreValues(t *testing.T) {
	p := smallShed()
	a := NewState(p).Switched(p, 1, on(0, t0), t0)
	heat := a.Heat[0]
	a.Switched(p, 1, on(1, t0), t0.Add(time.Hour)).Tripped(p, 0, t0.Add(2*time.Hour))
	if a.Heat[0] != heat || a.Open(0) || a.Loads[1].Setting != 0 {
		t.Fatalf("%+v", a)
	}
}

// Heat goes with the square of the current: a trip at steady 16 A on a breaker that
// counts as 20 A is what a breaker of 16 A would do.
func TestLearnsALowerRating(t *testing.T) {
	p := one(20, UL489, Load{Settings: amps(16)}, 1)
	s := NewState(p).Switched(p, 0, on(0, t0), t0)
	hour := t0.Add(time.Hour)
	trip := p.RecordTrip(s, 0, hour)
	if trip.Predicted() || math.Abs(trip.Heat-0.64) > 1e-6 {
		t.Fatalf("%+v", trip)
	}
	lesson := p.LearnFromTrips(0, []Trip{trip})
	if lesson.EffectiveA != 16 || lesson.Unforeseen != 1 {
		t.Fatalf("%+v", lesson)
	}
	p.Circuits[0].EffectiveA = lesson.EffectiveA
	if !p.Allows(NewState(p), Ask{}, t0) || p.LimitA(0) != 16 {
		t.Fatalf("limit %v", p.LimitA(0))
	}
	p.Loads[0].Settings[0].AmpsA = 16.5
	if p.Allows(NewState(p), Ask{}, t0) {
		t.Fatal("the lesson has no effect")
	}
}

func TestTripWithoutLoadIsAFault(t *testing.T) {
	p := one(20, UL489, Load{Settings: amps(3)}, 1)
	s := NewState(p).Switched(p, 0, on(0, t0), t0)
	lesson := p.LearnFromTrips(0, []Trip{p.RecordTrip(s, 0, t0.Add(time.Hour))})
	if lesson.EffectiveA != 0 || !strings.Contains(lesson.Says.String(), "no overload") {
		t.Fatalf("%+v", lesson)
	}
	over := p.LearnFromTrips(0, []Trip{{AmpsA: 25, LimitA: 20, Heat: 0.9}, {Circuit: 1}})
	if over.Trips != 1 || over.Unforeseen != 0 || over.EffectiveA != 0 {
		t.Fatalf("%+v", over)
	}
}

// What is measured or agreed lowers the thermal part only: the magnet trips by the rating on
// the handle, as in hot air.
func TestALowerLimitLeavesTheMagneticPart(t *testing.T) {
	p := one(20, UL489, Load{Settings: amps(4)}, 1)
	was := p.deviceOf(pole{circuit: 0, feeder: -1})
	p.Circuits[0].EffectiveA = 10
	is := p.deviceOf(pole{circuit: 0, feeder: -1})
	for a := 1.0; a < 300; a++ {
		if was.atOnce(a) != is.atOnce(a) {
			t.Fatalf("at %g A: at once %v with the lower limit, %v without", a, is.atOnce(a), was.atOnce(a))
		}
	}
	if is.limit != was.limit/2 {
		t.Errorf("limit %g A, was %g", is.limit, was.limit)
	}
}

// A breaker that carries what it carried is as much warmer as its limit is lower, squared;
// it counts as tripping at most.
func TestALowerLimitFindsAWarmerBreaker(t *testing.T) {
	p := one(20, UL489, Load{Settings: amps(10)}, 1)
	s := NewState(p).Switched(p, 0, on(0, t0), t0)
	hour := t0.Add(time.Hour)
	low := *p
	low.Circuits = append([]Circuit(nil), p.Circuits...)
	low.Circuits[0].EffectiveA = 16
	if got, want := s.Limited(p, &low, 0, hour).Heat[0].Level, p.Heat(s, 0, hour)*(20./16)*(20./16); math.Abs(got-want) > 1e-9 {
		t.Errorf("heat %g, want %g", got, want)
	}
	low.Circuits[0].EffectiveA = 5
	if got := s.Limited(p, &low, 0, hour).Heat[0].Level; got != 1 {
		t.Errorf("heat %g, want 1", got)
	}
}
