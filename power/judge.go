package power

import (
	"time"
)

// Judge answers whether the load may start at the asked setting at the instant
// now. For a load that is already on, the setting's current replaces the old.
func (p *Panel) Judge(s State, q Ask, now time.Time) Verdict {
	w := p.weigh(s, q, now)
	v := w.figures()
	if w.allowed() {
		v.Allowed = true
		return v
	}
	w.wayOut(&v)
	w.explain(&v)
	return v
}

// Allows is Judge without the reasons and the ways out.
func (p *Panel) Allows(s State, q Ask, now time.Time) bool {
	w := p.weigh(s, q, now)
	return w.allowed()
}

func (w *weighing) allowed() bool {
	for _, r := range startRules {
		if r.refuses(*w) {
			return false
		}
	}
	return true
}

// figures fills in the numbers of the pole that binds.
func (w *weighing) figures() Verdict {
	k := w.binding()
	x := &w.poles[k]
	v := Verdict{AmpsNow: x.now, AmpsAfter: x.after, LimitA: x.limit, MarginA: w.margin(k), Margin: Never}
	if x.circuit >= 0 {
		v.Circuit = w.p.Circuits[x.circuit].Name
	} else {
		v.Circuit, v.Leg = w.p.Feeders[x.feeder].Name, w.legName(x)
	}
	starts, over := w.rises || w.h.motor, false // else what starts has started before
	for k := range w.n {
		x := &w.poles[k]
		if starts {
			v.Margin = min(v.Margin, seconds(x.start.spareS))
		}
		over = over || x.overSum(w.rises)
	}
	switch {
	case over:
		v.Margin = 0
		v.TripIn = tripTime(x.earliest(x.after, x.heat.Level))
	case starts && (x.start.fails == startHot || x.start.fails == startInstant):
		v.TripIn = tripTime(x.start.tripS)
	}
	return v
}

// margin is the room in amperes that the start leaves on a pole, continuous loads
// counted at 125 percent.
func (w *weighing) margin(k int) float64 {
	x := &w.poles[k]
	counted := x.after
	if !w.exempt(k) {
		counted = max(counted, x.contNext)
	}
	return x.limit - counted
}

// legName is the leg of a feeder's pole, or none where the circuit counts on both
// because its leg is not stated.
func (w *weighing) legName(x *poleWeight) Leg {
	if w.p.Circuits[w.p.Loads[w.q.Load].Circuit].Leg == LegNone {
		return LegNone
	}
	return x.leg
}

// binding is the pole that refuses, or the one with the least room.
func (w *weighing) binding() int {
	for k := range w.n {
		if w.poles[k].overSum(w.rises) {
			return k
		}
	}
	if k, bites := (ContinuousLoad{}).pole(w); bites {
		return k
	}
	if k, bites := (StartingCurrent{}).pole(w); bites {
		return k
	}
	least := 0
	for k := 1; k < w.n; k++ {
		if w.margin(k) < w.margin(least)-slackA {
			least = k
		}
	}
	return least
}

// seconds turns a time of the model into a duration; what is beyond a year never
// happens.
func seconds(s float64) time.Duration {
	if s > 365*24*3600 {
		return Never
	}
	return time.Duration(s * float64(time.Second))
}

// tripTime is a time to trip for a verdict, in which zero means that it holds.
func tripTime(s float64) time.Duration {
	switch d := seconds(s); d {
	case Never:
		return 0
	default:
		return max(d, time.Millisecond)
	}
}
