package power

import (
	"fmt"
	"math"
	"time"

	"shedbell/line/say"
	"shedbell/power/breaker"
)

// Fault is one value of a panel that cannot be right.
type Fault struct {
	Kind  string       // "panel", "feeder", "circuit", "load" or "setting"
	Index int          // index of the feeder, circuit or load
	Sub   int          // index of the setting within its load, else -1
	Field string       // name of the field in this package
	Value string       // what was given
	Mend  say.Sentence // what would be right
}

// Error makes a Fault usable as an error.
func (f Fault) Error() string { return f.Says().String() }

// Says has the values apart.
func (f Fault) Says() say.Sentence {
	return say.New("panel.fault", f.Kind, f.Index, f.Field, f.Value, f.Mend)
}

// The widest values that a small shed can have; anything beyond is a slip of
// the finger (common practice, no source).
const (
	maxRatingA      = 400
	maxAmpsA        = 400
	maxStartingA    = 2000
	maxStartingTime = 30 * time.Second
)

type addFault func(kind string, i, sub int, field string, value any, mend say.Sentence)

// Validate returns every fault in the panel's values, all at once.
func (p *Panel) Validate() []Fault {
	var out []Fault
	add := func(kind string, i, sub int, field string, value any, mend say.Sentence) {
		out = append(out, Fault{kind, i, sub, field, fmt.Sprint(value), mend})
	}
	p.validateSupply(add)
	for i, f := range p.Feeders {
		if !inRange(f.RatingA, 1, maxRatingA) {
			add("feeder", i, -1, "RatingA", f.RatingA, say.New("panel.handle"))
		}
		if _, wrong, _ := breaker.For(f.Breaker, f.RatingA).Wrong(f.Maker); wrong != breaker.Sound {
			add("feeder", i, -1, "Maker", f.Maker, say.New("panel.maker"))
		}
	}
	for i := range p.Circuits {
		p.validateCircuit(i, add)
	}
	for i := range p.Loads {
		p.validateLoad(i, add)
	}
	return out
}

func (p *Panel) validateSupply(add addFault) {
	lo, hi, mend := 90.0, 260.0, say.New("panel.volts")
	switch p.Supply {
	case Single120, Split240:
		lo, hi, mend = 100, 130, say.New("panel.volts-120")
	case Single230:
		lo, hi, mend = 200, 260, say.New("panel.volts-230")
	}
	if !inRange(p.VoltageV, lo, hi) {
		add("panel", 0, -1, "VoltageV", p.VoltageV, mend)
	}
	if !inRange(p.AmbientC, -40, 70) {
		add("panel", 0, -1, "AmbientC", p.AmbientC, say.New("panel.ambient"))
	}
	if !inRange(p.DeratePerK, 0, 0.05) {
		add("panel", 0, -1, "DeratePerK", p.DeratePerK, say.New("panel.derate"))
	}
}

func (p *Panel) validateCircuit(i int, add addFault) {
	c := &p.Circuits[i]
	if !inRange(c.RatingA, 1, maxRatingA) {
		add("circuit", i, -1, "RatingA", c.RatingA, say.New("panel.handle"))
	}
	if !inRange(c.EffectiveA, 0, c.RatingA) {
		add("circuit", i, -1, "EffectiveA", c.EffectiveA, say.New("panel.effective"))
	}
	if !inRange(c.ReceptacleA, 0, 60) {
		add("circuit", i, -1, "ReceptacleA", c.ReceptacleA, say.New("panel.receptacle"))
	}
	if c.Breaker > IECD {
		add("circuit", i, -1, "Breaker", c.Breaker, say.New("panel.breaker"))
	}
	if most, ok := p.WireMaxA(i); ok && c.RatingA > most+slackA {
		add("circuit", i, -1, "Wire", fmt.Sprint(c.RatingA), say.New("panel.wire", say.Amps(most)))
	}
	if k, ok := p.CircuitByName(c.NeutralWith); c.NeutralWith != "" && (!ok || k == i) {
		add("circuit", i, -1, "NeutralWith", c.NeutralWith, say.New("panel.neutral"))
	}
	if _, wrong, _ := breaker.For(c.Breaker, c.RatingA).Wrong(c.Maker); wrong != breaker.Sound {
		add("circuit", i, -1, "Maker", c.Maker, say.New("panel.maker"))
	}
	if _, ok := p.feederByName(c.Feeder); c.Feeder != "" && !ok {
		add("circuit", i, -1, "Feeder", c.Feeder, say.New("panel.feeder"))
	}
	// A circuit of no stated leg counts on both, which is careful enough.
	switch {
	case c.Leg > LegBoth:
		add("circuit", i, -1, "Leg", c.Leg, say.New("panel.leg"))
	case p.SupplyKind() != Split240 && c.Leg != LegNone:
		add("circuit", i, -1, "Leg", c.Leg, say.New("panel.no-legs"))
	}
}

func (p *Panel) validateLoad(i int, add addFault) {
	l := &p.Loads[i]
	if l.Circuit < 0 || l.Circuit >= len(p.Circuits) {
		add("load", i, -1, "Circuit", l.Circuit, say.New("panel.circuit"))
	}
	if len(l.Settings) == 0 {
		add("load", i, -1, "Settings", "empty", say.New("panel.settings"))
	}
	for k, st := range l.Settings {
		if !inRange(st.AmpsA, 0, maxAmpsA) {
			add("setting", i, k, "AmpsA", st.AmpsA, say.New("panel.amps"))
		}
	}
	if !inRange(l.StartingA, 0, maxStartingA) {
		add("load", i, -1, "StartingA", l.StartingA, say.New("panel.starting"))
	}
	if l.StartingTime < 0 || l.StartingTime > maxStartingTime {
		add("load", i, -1, "StartingTime", l.StartingTime, say.New("panel.starting-time"))
	}
	if (l.StartingA > 0) != (l.StartingTime > 0) {
		add("load", i, -1, "StartingTime", l.StartingTime, say.New("panel.starting-both"))
	}
	if l.Cord != (Cord{}) {
		if _, ok := p.Rules().cordMaxA(l.Cord); !ok {
			add("load", i, -1, "Cord.AWG", l.Cord.AWG, say.New("panel.cord"))
		}
		if !inRange(l.Cord.LengthM, 0, 200) {
			add("load", i, -1, "Cord.LengthM", l.Cord.LengthM, say.New("panel.cord-length"))
		}
	}
	if l.Cycles && l.WorstA() == 0 {
		add("load", i, -1, "Settings", "unknown", say.New("panel.cycles"))
	}
}

func inRange(v, lo, hi float64) bool { return !math.IsNaN(v) && v >= lo && v <= hi }
