package power

import (
	"strings"
	"testing"
	"time"
)

// smallShed is one 15 A circuit with a washer that runs alone beside a fan.
// 14 A for a pressure washer: common practice, no source.
func smallShed() *Panel {
	return &Panel{
		VoltageV: 120,
		Circuits: []Circuit{{Name: "tub, spin", RatingA: 15}, {Name: "rack", RatingA: 20}},
		Loads: []Load{
			{Name: "washer", Circuit: 0, Settings: []Setting{{"on", 14}}, Alone: true},
			{Name: "fan", Circuit: 0, Settings: []Setting{{"low", 1}, {"high", 2}}},
			{Name: "spinner", Circuit: 1, Settings: []Setting{{"on", 5}}, SelfOff: true},
			{Name: "fridge", Circuit: 1, Settings: []Setting{{"on", 6}}, Cycles: true, StaysOn: true},
		},
	}
}

func TestWasherBesideFan(t *testing.T) {
	p := smallShed()
	end := t0.Add(20 * time.Minute)
	s := NewState(p).Switched(p, 1, Status{On: true, Setting: 1, Since: t0, Until: end}, t0)
	v := p.Judge(s, Ask{Load: 0}, t0)
	if v.Allowed || v.AmpsNow != 2 || v.AmpsAfter != 16 || v.LimitA != 15 {
		t.Fatalf("verdict %+v", v)
	}
	if len(v.SwitchOff) != 1 || v.SwitchOff[0] != 1 || !v.Earliest.Equal(end) {
		t.Fatalf("way out: %v at %v", v.SwitchOff, v.Earliest)
	}
	want := `"tub, spin" would carry 16.0 of 15 A: 2.0 A now plus 14.0 A.`
	if v.Reasons[0].Rule != RuleRating || !strings.Contains(v.Reasons[0].Says.String(), want) {
		t.Fatalf("text %q", v.Reasons[0].Says.String())
	}
	if v.WayOut.String() != "Switch off fan, or wait until 14:50." {
		t.Fatalf("way out %q", v.WayOut)
	}
	// Zero on the countdown is not off: the fan counts until it is confirmed.
	later := end.Add(time.Minute)
	if v := p.Judge(s, Ask{Load: 0}, later); v.Allowed || len(v.Confirm) != 1 {
		t.Fatalf("unconfirmed fan: %+v", v)
	}
	s = s.Switched(p, 1, Status{}, later)
	if v := p.Judge(s, Ask{Load: 0}, later); !v.Allowed || v.AmpsAfter != 14 {
		t.Fatalf("fan off: %+v", v)
	}
}

func TestReservedAndReplaced(t *testing.T) {
	p := smallShed()
	s := NewState(p)
	if got := p.Amps(s, 1, t0); got != 6 {
		t.Fatalf("a fridge that is off keeps %v A, want 6", got)
	}
	on := s.Switched(p, 1, Status{On: true, Setting: 0, Since: t0}, t0)
	if v := p.Judge(on, Ask{Load: 1, Setting: 1}, t0); v.AmpsNow != 1 || v.AmpsAfter != 2 {
		t.Fatalf("a changed setting replaces its amps: %+v", v)
	}
	s.Loads[3].DeclaredOff = true
	if got := p.Amps(s, 1, t0); got != 0 {
		t.Fatalf("an unplugged fridge keeps %v A", got)
	}
}

func TestSelfOffEndsByItself(t *testing.T) {
	p := smallShed()
	s := NewState(p).Switched(p, 2, Status{On: true, Since: t0, Until: t0.Add(time.Minute)}, t0)
	v := p.Judge(s, Ask{Load: 0}, t0)
	if v.Allowed || v.Reasons[0].Rule != RuleAlone || len(v.Confirm) != 0 || !v.Earliest.Equal(t0.Add(time.Minute)) {
		t.Fatalf("%+v", v)
	}
	if v := p.Judge(s, Ask{Load: 0}, t0.Add(time.Minute)); !v.Allowed {
		t.Fatalf("after it stopped itself: %+v", v)
	}
}

func TestUnknownAmpsNeverStart(t *testing.T) {
	p := smallShed()
	p.Loads[1].Settings[0].AmpsA = 0
	v := p.Judge(NewState(p), Ask{Load: 1}, t0)
	if v.Allowed || v.Reasons[0].Rule != RuleUnknown {
		t.Fatalf("%+v", v)
	}
}
