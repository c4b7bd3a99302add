package power

import (
	"math"
	"strings"
	"testing"
	"time"
)

// Where circuit and feeder both refuse, all figures are those of the one that is
// named. By addition, 24 A on a circuit of 15 A are 9 A short, and 44 A on its
// feeder of 30 A are 14 A short.
func TestFiguresAreOfTheOneThatBinds(t *testing.T) {
	p := &Panel{VoltageV: 120, Feeders: []Feeder{{Name: "main", RatingA: 30}},
		Circuits: []Circuit{{Name: "north", RatingA: 15, Feeder: "main", Leg: LegA}, {Name: "south", RatingA: 20, Feeder: "main", Leg: LegA}},
		Loads: []Load{
			{Name: "pump", Circuit: 0, Settings: []Setting{{"on", 12}}},
			{Name: "fan", Circuit: 0, Settings: []Setting{{"on", 12}}},
			{Name: "heater", Circuit: 1, Settings: []Setting{{"on", 20}}},
		}}
	s := NewState(p)
	s = s.Switched(p, 0, Status{On: true, Since: t0}, t0)
	s = s.Switched(p, 2, Status{On: true, Since: t0}, t0)
	v := p.Judge(s, Ask{Load: 1}, t0)
	if v.Allowed || v.Circuit != "north" || v.AmpsAfter != 24 || v.LimitA != 15 || math.Abs(v.MarginA+9) > 1e-9 {
		t.Errorf("%s: %.1f of %.1f A, margin %.1f A, want 24 of 15 A on north, 9 A short", v.Where(), v.AmpsAfter, v.LimitA, v.MarginA)
	}
}

// An instant that is named as the end of waiting is one at which the start is
// allowed, however many fractions of a second the countdown ends at.
func TestWaitingEndsWhenItIsSaid(t *testing.T) {
	p := &Panel{VoltageV: 120, Circuits: []Circuit{{Name: "north", RatingA: 15}}, Loads: []Load{
		{Name: "pump", Circuit: 0, SelfOff: true, Settings: []Setting{{"on", 12}}},
		{Name: "fan", Circuit: 0, Settings: []Setting{{"on", 12}}},
	}}
	for _, tc := range []struct {
		run    time.Duration
		layout string
	}{{90*time.Second + 400*time.Millisecond, "15:04:05"}, {90 * time.Second, "15:04:05"},
		{10*time.Minute + 40*time.Second, "15:04"}, {10 * time.Minute, "15:04"}, {119999 * time.Millisecond, "15:04:05"}} {
		s := NewState(p).Switched(p, 0, Status{On: true, Since: t0, Until: t0.Add(tc.run)}, t0)
		v := p.Judge(s, Ask{Load: 1}, t0)
		_, said, ok := strings.Cut(strings.TrimSuffix(v.WayOut.String(), "."), "wait until ")
		if !ok {
			t.Fatalf("%s: %q names no instant", tc.run, v.WayOut.String())
		}
		clock, err := time.Parse(tc.layout, said)
		if err != nil {
			t.Fatal(err)
		}
		at := time.Date(t0.Year(), t0.Month(), t0.Day(), clock.Hour(), clock.Minute(), clock.Second(), 0, t0.Location())
		if !p.Allows(s, Ask{Load: 1}, at) {
			t.Errorf("%s: refused at %s, which was named", tc.run, said)
		}
		if late := at.Sub(t0.Add(tc.run)); late < 0 || late >= time.Minute {
			t.Errorf("%s: %s is %s late", tc.run, said, late)
		}
	}
}
