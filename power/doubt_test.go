package power

import (
	"math"
	"testing"
	"time"
)

// twoWalls is a feeder with a circuit on each leg: a motor of 7 A, starting with 30 A,
// beside fans, and a fridge beside lights.
func twoWalls() *Panel {
	on := func(a ...float64) (out []Setting) {
		for _, x := range a {
			out = append(out, Setting{Name: "on", AmpsA: x})
		}
		return out
	}
	return &Panel{VoltageV: 120, Feeders: []Feeder{{Name: "shed", RatingA: 40}},
		Circuits: []Circuit{{Name: "wet", RatingA: 20, Feeder: "shed", Leg: LegA}, {Name: "cold", RatingA: 20, Feeder: "shed", Leg: LegB}},
		Loads: []Load{
			{Name: "spinner", Settings: on(7), StartingA: 30, StartingTime: time.Second},
			{Name: "fans", Settings: on(2, 5)},
			{Name: "pump", Settings: on(4), SelfOff: true},
			{Name: "fridge", Circuit: 1, Settings: on(6), Cycles: true, StaysOn: true},
			{Name: "lights", Circuit: 1, Settings: on(1), StaysOn: true},
		}}
}

func TestTakenBack(t *testing.T) {
	const spinner, fans, pump, fridge, lights = 0, 1, 2, 3, 4
	p := twoWalls()
	t0 := time.Date(2026, 12, 3, 8, 0, 0, 0, time.UTC)
	at := func(s int) time.Time { return t0.Add(time.Duration(s) * time.Second) }
	onAt := func(setting, second int) Status { return Status{On: true, Setting: setting, Since: at(second)} }
	rest := NewState(p).Switched(p, fridge, onAt(0, 0), t0).Switched(p, lights, onAt(0, 0), t0)
	type want struct {
		load, setting, books int
		doubt                bool
	}
	pumping := onAt(0, 100)
	pumping.Until = at(160)
	for _, c := range []struct {
		name    string
		before  State
		action  func(State) State // at second 100; taken back at 130
		wants   []want
		amps    [2]float64 // counted on the circuits, reserves included
		pumpEnd bool       // the pump counts no more at 160
	}{
		{"start", rest, func(s State) State { return s.Switched(p, spinner, onAt(0, 100), at(100)) }, []want{{spinner, 0, -1, true}}, [2]float64{7, 7}, false},
		{"self-off start", rest, func(s State) State { return s.Switched(p, pump, pumping, at(100)) }, []want{{pump, 0, -1, true}}, [2]float64{4, 7}, true},
		{"stop", rest.Switched(p, spinner, onAt(0, 50), at(50)), func(s State) State { return s.Switched(p, spinner, Status{}, at(100)) },
			[]want{{spinner, 0, 0, false}}, [2]float64{7, 7}, false},
		{"faster", rest.Switched(p, fans, onAt(0, 50), at(50)), func(s State) State { return s.Switched(p, fans, onAt(1, 100), at(100)) },
			[]want{{fans, 1, 0, true}}, [2]float64{5, 7}, false},
		{"slower", rest.Switched(p, fans, onAt(1, 50), at(50)), func(s State) State { return s.Switched(p, fans, onAt(0, 100), at(100)) },
			[]want{{fans, 1, 0, false}}, [2]float64{5, 7}, false},
		{"move", rest.Switched(p, spinner, onAt(0, 50), at(50)), func(s State) State {
			return s.Switched(p, spinner, Status{}, at(100)).Switched(p, fans, onAt(1, 100), at(100))
		}, []want{{spinner, 0, 0, false}, {fans, 1, -1, true}}, [2]float64{12, 7}, false},
		{"trip", rest.Switched(p, spinner, onAt(0, 50), at(50)), func(s State) State { return s.Tripped(p, 0, at(100)) },
			[]want{{spinner, 0, 0, false}}, [2]float64{7, 7}, false},
		{"reset", rest.Tripped(p, 1, at(50)), func(s State) State {
			return s.Reset(p, 1, at(100)).Switched(p, lights, onAt(0, 100), at(100))
		}, []want{{lights, 0, -1, true}, {fridge, 0, -1, true}}, [2]float64{0, 7}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			now := at(130)
			after := c.action(c.before)
			s := after.TakenBack(p, c.before, at(100), now)
			for _, w := range c.wants {
				if st := s.Loads[w.load]; !st.On || st.Setting != w.setting || st.InDoubt != w.doubt || st.Books != w.books {
					t.Errorf("%s is %+v", p.Loads[w.load].Name, st)
				}
			}
			for circuit, amps := range c.amps {
				if a := p.Running(s, circuit, now) + p.Reserved(s, circuit, now); math.Abs(a-amps) > 1e-9 {
					t.Errorf("%s counts %.1f A, want %.1f", p.Circuits[circuit].Name, a, amps)
				}
			}
			if s.Open(1) != c.before.Open(1) || s.Drawing(p, pump, at(160)) == c.pumpEnd && c.pumpEnd {
				t.Errorf("cold wall open %v, pump %+v", s.Open(1), s.Loads[pump])
			}
			p.eachPole(func(pl pole) {
				if was, is := p.heatOf(after, pl, now).Level, p.heatOf(s, pl, now).Level; is < was {
					t.Errorf("pole %+v cooled from %.6f to %.6f", pl, was, is)
				}
			})
			// A stop that was not one leaves the breaker as warm as if nothing had been said.
			if c.name == "stop" {
				pl := pole{circuit: 0, feeder: -1}
				if on, is := p.heatOf(c.before, pl, now).Level, p.heatOf(s, pl, now).Level; math.Abs(on-is) > 1e-9 {
					t.Errorf("the wet wall has %.6f of its heat, want %.6f", is, on)
				}
			}
		})
	}
}

// What may be off is judged like a start, what is only put to less is not.
func TestInDoubtIsJudgedAsAStart(t *testing.T) {
	const spinner, fans = 0, 1
	p := twoWalls()
	p.Circuits[0].RatingA, p.Loads[spinner].StartingA = 11, 0
	now := time.Date(2026, 12, 3, 8, 0, 0, 0, time.UTC)
	s := NewState(p).Switched(p, spinner, Status{On: true, Since: now, InDoubt: true, Books: -1}, now).
		Switched(p, fans, Status{On: true, Setting: 1, Since: now, InDoubt: true, Books: 0}, now) // 12 A on 11
	now = now.Add(time.Minute)
	if v := p.Judge(s, Ask{Load: spinner}, now); v.Allowed || v.AmpsAfter != 12 {
		t.Errorf("spinner: %+v", v)
	}
	if v := p.Judge(s, Ask{Load: fans}, now); !v.Allowed || v.AmpsAfter != 9 {
		t.Errorf("fans at less: %+v", v)
	}
	if v := p.Judge(s.Switched(p, fans, Status{}, now), Ask{Load: spinner}, now); !v.Allowed || v.AmpsAfter != 7 {
		t.Errorf("spinner alone: %+v", v)
	}
}
