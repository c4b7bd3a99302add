package power

import (
	"fmt"
	"math"
	"time"

	"shedbell/power/breaker"
)

var t0 = time.Date(2026, 5, 5, 14, 30, 0, 0, time.UTC)

// dice returns a number from 0 to n-1. Both the property tests and the simulator
// build their sheds with it.
type dice func(n int) int

func (d dice) between(lo, hi int) int { return lo + d(hi-lo+1) }

func (d dice) chance(percent int) bool { return d(100) < percent }

// randomPanel builds a shed that could be somebody's: every kind of breaker, with
// and without a feeder, motors, heaters and self-cycling loads.
func randomPanel(d dice, maxLoads int) *Panel {
	p := &Panel{VoltageV: 120}
	std := Standard(0)
	if d.chance(50) {
		std = Standard(d.between(1, 3))
	}
	if std != UL489 && d.chance(70) {
		p.VoltageV = 230
	}
	if d.chance(25) {
		p.AmbientC = float64(d.between(20, 60))
	}
	if d.chance(40) {
		p.Feeders = []Feeder{{Name: "main", RatingA: float64(d.between(4, 10) * 5), Breaker: std}}
	}
	for c := range d.between(1, 3) {
		circuit := Circuit{Name: fmt.Sprintf("c%d", c), RatingA: []float64{15, 16, 20, 30}[d(4)], Breaker: std}
		if len(p.Feeders) > 0 && d.chance(80) {
			circuit.Feeder = "main"
			if p.VoltageV == 120 {
				circuit.Leg = []Leg{LegA, LegB, LegBoth}[d(3)]
			}
		}
		if d.chance(15) {
			circuit.EffectiveA = circuit.RatingA - float64(d.between(1, 10))/2
		}
		if d.chance(20) {
			circuit.Maker = randomMaker(d, breaker.For(std, circuit.RatingA))
		}
		circuit.Rated100 = d.chance(20)
		p.Circuits = append(p.Circuits, circuit)
	}
	for i := range d.between(2, maxLoads) {
		p.Loads = append(p.Loads, randomLoad(d, i, len(p.Circuits)))
	}
	return p
}

// randomMaker is points of a maker's curve that can be: the first as slow as the standard
// leaves open or quicker, the second quicker still.
func randomMaker(d dice, c *breaker.Curve) []breaker.Point {
	first := c.Hold * float64(d.between(12, 25)) / 10
	target := first * first / c.Hold / c.Hold
	seconds := c.SlowS * math.Log(target/(target-1)) * float64(d.between(5, 95)) / 100
	points := []breaker.Point{{Multiple: first, Seconds: seconds}}
	if d.chance(50) {
		points = append(points, breaker.Point{Multiple: first * float64(d.between(15, 40)) / 10, Seconds: seconds / float64(d.between(4, 40))})
	}
	if _, fault, _ := c.Wrong(points); fault != breaker.Sound {
		return nil
	}
	return points
}

func randomLoad(d dice, i, circuits int) Load {
	l := Load{Name: fmt.Sprintf("l%d", i), Circuit: d(circuits)}
	for k := range d.between(1, 3) {
		l.Settings = append(l.Settings, Setting{Name: fmt.Sprintf("s%d", k), AmpsA: float64(d.between(1, 60)) / 4})
	}
	if d.chance(60) {
		l.StartingA = l.WorstA() * float64(d.between(10, 60)) / 10
		l.StartingTime = time.Duration(d.between(1, 3)) * time.Second
	}
	switch {
	case d.chance(15):
		l.Cycles = true
		l.StaysOn = d.chance(80)
		l.StartingTime = min(l.StartingTime, time.Second)
	case d.chance(10):
		l.Alone = true
	case d.chance(15):
		l.StaysOn = true
	}
	l.SelfOff = !l.Cycles && d.chance(25)
	l.Continuous = d.chance(5)
	return l
}

// randomDay plays some starts that the interlock allows, countdowns, confirmations
// and waiting, and returns where it ended.
func randomDay(d dice, p *Panel, steps int) (State, time.Time) {
	s, now := NewState(p), t0
	for range steps {
		i := d(len(p.Loads))
		switch {
		case s.Loads[i].On && d.chance(40):
			s = s.Switched(p, i, Status{}, now)
		case !p.Loads[i].Cycles:
			q := Ask{Load: i, Setting: d(len(p.Loads[i].Settings))}
			if p.Allows(s, q, now) {
				s = s.Switched(p, i, randomStatus(d, q.Setting, now), now)
			}
		case d.chance(20):
			if s.Loads[i].DeclaredOff {
				s = s.Replugged(p, p, i, now)
			} else {
				s = s.Unplugged(p, i, now)
			}
		}
		switch {
		case d.chance(50):
			now = now.Add(time.Duration(d.between(0, 5)) * time.Second)
		case d.chance(90):
			now = now.Add(time.Duration(d.between(0, 900)) * time.Second)
		default:
			now = now.Add(time.Duration(d.between(0, 4)) * time.Hour)
		}
	}
	return s, now
}

func randomStatus(d dice, setting int, now time.Time) Status {
	st := Status{On: true, Setting: setting, Since: now, Spoils: d.chance(10)}
	switch {
	case d.chance(60):
		st.Until = now.Add(time.Duration(d.between(5, 1800)) * time.Second)
	case d.chance(10):
		st.Until = now.Add(4 * time.Hour)
	}
	return st
}
