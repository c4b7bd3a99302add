package power

import (
	"math"
	"time"

	"shedbell/power/breaker"
)

// DefaultDeratePerK is the share of its rating that a breaker loses per kelvin
// above its reference ambient when the panel states no other. Makers' tables run
// from 0.6 to 1.4 percent; the default is the careful end.
const DefaultDeratePerK = 0.014

// pole is one place where current is limited: a circuit's breaker, or one leg of
// a feeder's.
type pole struct {
	circuit int // -1 for a feeder
	feeder  int
	leg     Leg // LegA or LegB of a feeder
}

// polesOf lists the poles that a circuit's current flows through.
func (p *Panel) polesOf(circuit int) (poles [3]pole, n int) {
	poles[0] = pole{circuit: circuit, feeder: -1}
	n = 1
	c := &p.Circuits[circuit]
	f, ok := p.feederByName(c.Feeder)
	if !ok {
		return poles, n
	}
	for _, leg := range [2]Leg{LegA, LegB} {
		if c.hasLeg(leg) {
			poles[n] = pole{circuit: -1, feeder: f, leg: leg}
			n++
		}
	}
	return poles, n
}

// hasLeg says whether the circuit loads that leg. A circuit of no stated leg
// counts on both, which is right for a single-phase feeder.
func (c *Circuit) hasLeg(leg Leg) bool { return c.Leg == leg || c.Leg == LegBoth || c.Leg == LegNone }

func (p *Panel) feederByName(name string) (int, bool) {
	if name == "" {
		return 0, false
	}
	for i := range p.Feeders {
		if p.Feeders[i].Name == name {
			return i, true
		}
	}
	return 0, false
}

// on says whether the current of a circuit flows through the pole.
func (p *Panel) on(pl pole, circuit int) bool {
	if pl.circuit >= 0 {
		return pl.circuit == circuit
	}
	c := &p.Circuits[circuit]
	return c.Feeder == p.Feeders[pl.feeder].Name && c.hasLeg(pl.leg)
}

// slot is the pole's index in State.Heat.
func (p *Panel) slot(pl pole) int {
	if pl.circuit >= 0 {
		return pl.circuit
	}
	return len(p.Circuits) + 2*pl.feeder + int(pl.leg-LegA)
}

// device is a pole's breaker: its curve, what its thermal part counts as its rating in
// amperes, less in a hot place, and what its magnetic part does, which no heat moves.
type device struct {
	curve        *breaker.Curve
	limit, rated float64
}

func (p *Panel) deviceOf(pl pole) device {
	if pl.circuit < 0 {
		f := &p.Feeders[pl.feeder]
		curve := breaker.By(f.Breaker, f.RatingA, f.Maker)
		return device{curve, f.RatingA * p.derate(curve), f.RatingA}
	}
	c := &p.Circuits[pl.circuit]
	curve, limit := breaker.By(c.Breaker, c.RatingA, c.Maker), c.RatingA
	if c.EffectiveA > 0 { // of the thermal part: what is measured or agreed moves no magnet
		limit = min(limit, c.EffectiveA)
	}
	return device{curve, limit * p.derate(curve), c.RatingA}
}

// earliest is the shortest time in seconds after which the breaker may trip at a
// current, from the given heat; +Inf when it holds.
func (d *device) earliest(ampsA, heat float64) float64 {
	return d.curve.Earliest(multiple(ampsA, d.limit), multiple(ampsA, d.rated), min(1, heat))
}

func (d *device) shortTime(ampsA float64) float64 {
	return d.curve.ShortTime(multiple(ampsA, d.limit), multiple(ampsA, d.rated))
}

// atOnce says whether the magnetic part may trip at a current.
func (d *device) atOnce(ampsA float64) bool { return multiple(ampsA, d.rated) > d.curve.Instant }

// limitOf is what the pole may carry in amperes: its rating or what trips have
// taught, less for a hot place.
func (p *Panel) limitOf(pl pole) float64 { return p.deviceOf(pl).limit }

// LimitA is what a circuit may carry in amperes: the breaker's rating, lowered by
// what trips have taught and by a hot place.
func (p *Panel) LimitA(circuit int) float64 { return p.limitOf(pole{circuit: circuit, feeder: -1}) }

func (p *Panel) derate(c *breaker.Curve) float64 {
	perK := p.DeratePerK
	if perK == 0 {
		perK = DefaultDeratePerK
	}
	return max(0, 1-perK*max(0, p.AmbientC-c.RefC))
}

// change is a load put to another setting at an instant, as a thought.
type change struct {
	load    int // -1 for none
	setting int
	at      time.Time
	motor   bool // it starts or speeds up
}

var noChange = change{load: -1}

// startEnd is when a load's starting current ends, if it has one and is on.
func (p *Panel) startEnd(s State, i int, h change) (begin, end time.Time, ok bool) {
	l := &p.Loads[i]
	if l.StartingA <= 0 || l.StartingTime <= 0 {
		return begin, end, false
	}
	switch {
	case h.load == i && h.motor:
		begin = h.at
	case s.Loads[i].On:
		begin = s.Loads[i].started()
	default:
		return begin, end, false
	}
	return begin, begin.Add(l.StartingTime), true
}

// loadA is what a load must be counted as drawing at an instant, starting
// current included.
func (p *Panel) loadA(s State, i int, t time.Time, h change) float64 {
	a := 0.0
	if h.load == i {
		a = p.askedA(h)
	} else {
		a = p.countedA(s, i, t)
		if a == 0 || !s.Drawing(p, i, t) {
			return a
		}
	}
	if begin, end, ok := p.startEnd(s, i, h); ok && !t.Before(begin) && t.Before(end) {
		a = max(a, p.Loads[i].StartingA)
	}
	return a
}

// askedA is what the changed load counts for in the long run.
func (p *Panel) askedA(h change) float64 {
	a := p.settingA(h.load, h.setting)
	if l := &p.Loads[h.load]; l.Cycles { // asking for it plugs it in
		a = max(a, l.WorstA())
	}
	return a
}

// poleA is the current through a pole at an instant, starting currents included.
func (p *Panel) poleA(s State, pl pole, t time.Time, h change) float64 {
	sum := 0.0
	for i := range p.Loads {
		if p.on(pl, p.Loads[i].Circuit) {
			sum += p.loadA(s, i, t, h)
		}
	}
	return sum
}

// nextChange is the first instant after t and before to at which the current of
// the pole changes by itself; to when there is none.
func (p *Panel) nextChange(s State, pl pole, t, to time.Time, h change) time.Time {
	consider := func(x time.Time) {
		if x.After(t) && x.Before(to) {
			to = x
		}
	}
	for i := range p.Loads {
		if !p.on(pl, p.Loads[i].Circuit) {
			continue
		}
		if begin, end, ok := p.startEnd(s, i, h); ok {
			consider(begin)
			consider(end)
		}
		if st := &s.Loads[i]; st.On && p.Loads[i].SelfOff && !st.Until.IsZero() && h.load != i {
			consider(st.Until)
		}
	}
	return to
}

// heatOf is the thermal state of a pole at the instant now.
func (p *Panel) heatOf(s State, pl pole, now time.Time) Heat {
	var heat Heat
	if k := p.slot(pl); k < len(s.Heat) {
		heat = s.Heat[k]
	}
	d := p.deviceOf(pl)
	for t := heat.At; t.Before(now); {
		next := p.nextChange(s, pl, t, now, noChange)
		a := p.poleA(s, pl, t, noChange)
		heat.warm(&d, a, p.steadyA(s, pl, t), p.selfA(s, pl), next.Sub(t).Seconds())
		t = next
	}
	return heat
}

// warm lets a current flow through the pole for some seconds. While a motor
// starts, a self-starting load is taken to start as well.
func (h *Heat) warm(d *device, ampsA, steadyA, selfA, seconds float64) {
	h.Level = d.curve.Warm(h.Level, multiple(ampsA, d.limit), seconds)
	if ampsA <= steadyA+slackA {
		h.Short = 0
		return
	}
	h.Short += seconds / d.shortTime(ampsA+selfA)
}

// steadyA is what a pole must be counted as carrying without starting currents.
func (p *Panel) steadyA(s State, pl pole, t time.Time) float64 {
	sum := 0.0
	for i := range p.Loads {
		if p.on(pl, p.Loads[i].Circuit) {
			sum += p.countedA(s, i, t)
		}
	}
	return sum
}

// selfA is what loads that cycle by themselves may draw on a pole at any moment
// beyond what they are counted with.
func (p *Panel) selfA(s State, pl pole) float64 {
	sum := 0.0
	for i := range p.Loads {
		l := &p.Loads[i]
		if p.on(pl, l.Circuit) && s.reserved(p, i) {
			sum += max(0, l.StartingA-l.WorstA())
		}
	}
	return sum
}

// heatAt returns the thermal states with the poles of one circuit brought up to
// the instant now.
func (s State) heatAt(p *Panel, circuit int, now time.Time) []Heat {
	heat := make([]Heat, len(p.Circuits)+2*len(p.Feeders))
	copy(heat, s.Heat)
	poles, n := p.polesOf(circuit)
	for _, pl := range poles[:n] {
		k := p.slot(pl)
		if !now.After(heat[k].At) {
			continue
		}
		heat[k] = p.heatOf(s, pl, now)
		heat[k].At = now
	}
	return heat
}

// multiple is a current as a multiple of a limit; a limit of nothing is never
// enough.
func multiple(ampsA, limit float64) float64 {
	if limit <= 0 {
		if ampsA <= 0 {
			return 0
		}
		return math.Inf(1)
	}
	return ampsA / limit
}
