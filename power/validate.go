package power

import (
	"fmt"
	"math"
	"time"

	"shedbell/power/nec"
)

// Fault is one value of a panel that cannot be right.
type Fault struct {
	Kind  string // "panel", "feeder", "circuit", "load" or "setting"
	Index int    // index of the feeder, circuit or load
	Sub   int    // index of the setting within its load, else -1
	Field string // name of the field in this package
	Value string // what was given
	Mend  string // what would be right
}

// Error makes a Fault usable as an error.
func (f Fault) Error() string {
	return fmt.Sprintf("%s %d: %s is %s: %s", f.Kind, f.Index, f.Field, f.Value, f.Mend)
}

// The widest values that a small shed can have; anything beyond is a slip of
// the finger (common practice, no source).
const (
	maxRatingA      = 400
	maxAmpsA        = 400
	maxStartingA    = 2000
	maxStartingTime = 30 * time.Second
)

type addFault func(kind string, i, sub int, field string, value any, mend string)

// Validate returns every fault in the panel's values, all at once.
func (p *Panel) Validate() []Fault {
	var out []Fault
	add := func(kind string, i, sub int, field string, value any, mend string) {
		out = append(out, Fault{kind, i, sub, field, fmt.Sprint(value), mend})
	}
	p.validateSupply(add)
	for i, f := range p.Feeders {
		if !inRange(f.RatingA, 1, maxRatingA) {
			add("feeder", i, -1, "RatingA", f.RatingA, "the amps on the breaker's handle, 1 to 400")
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
	lo, hi, mend := 90.0, 260.0, "120 or 230, the volts from one leg to neutral"
	switch p.Supply {
	case Single120, Split240:
		lo, hi, mend = 100, 130, "about 120, the volts from one leg to neutral"
	case Single230:
		lo, hi, mend = 200, 260, "about 230"
	}
	if !inRange(p.VoltageV, lo, hi) {
		add("panel", 0, -1, "VoltageV", p.VoltageV, mend)
	}
	if !inRange(p.AmbientC, -40, 70) {
		add("panel", 0, -1, "AmbientC", p.AmbientC, "the air around the breakers in degrees C, -40 to 70")
	}
	if !inRange(p.DeratePerK, 0, 0.05) {
		add("panel", 0, -1, "DeratePerK", p.DeratePerK, "a share from 0 to 0.05; makers state about 0.006 to 0.014")
	}
}

func (p *Panel) validateCircuit(i int, add addFault) {
	c := &p.Circuits[i]
	if !inRange(c.RatingA, 1, maxRatingA) {
		add("circuit", i, -1, "RatingA", c.RatingA, "the amps on the breaker's handle, 1 to 400")
	}
	if !inRange(c.EffectiveA, 0, c.RatingA) {
		add("circuit", i, -1, "EffectiveA", c.EffectiveA, "no more than the rating, or 0")
	}
	if !inRange(c.ReceptacleA, 0, 60) {
		add("circuit", i, -1, "ReceptacleA", c.ReceptacleA, "the amps marked on the receptacle, or 0")
	}
	if c.Breaker > IECD {
		add("circuit", i, -1, "Breaker", c.Breaker, "UL489, IECB, IECC or IECD")
	}
	if _, ok := p.feederByName(c.Feeder); c.Feeder != "" && !ok {
		add("circuit", i, -1, "Feeder", c.Feeder, "the name of a feeder")
	}
	// A circuit of no stated leg counts on both, which is careful enough.
	switch {
	case c.Leg > LegBoth:
		add("circuit", i, -1, "Leg", c.Leg, "A, B, both or none")
	case p.SupplyKind() != Split240 && c.Leg != LegNone:
		add("circuit", i, -1, "Leg", c.Leg, "none: only a split-phase supply has legs")
	}
}

func (p *Panel) validateLoad(i int, add addFault) {
	l := &p.Loads[i]
	if l.Circuit < 0 || l.Circuit >= len(p.Circuits) {
		add("load", i, -1, "Circuit", l.Circuit, "the index of a circuit")
	}
	if len(l.Settings) == 0 {
		add("load", i, -1, "Settings", "empty", "at least one setting with its amps")
	}
	for k, st := range l.Settings {
		if !inRange(st.AmpsA, 0, maxAmpsA) {
			add("setting", i, k, "AmpsA", st.AmpsA, "the amps on the nameplate, or 0 while nobody knows")
		}
	}
	if !inRange(l.StartingA, 0, maxStartingA) {
		add("load", i, -1, "StartingA", l.StartingA, "the amps while starting, or 0 when it has none")
	}
	if l.StartingTime < 0 || l.StartingTime > maxStartingTime {
		add("load", i, -1, "StartingTime", l.StartingTime, "0 to 30 seconds")
	}
	if (l.StartingA > 0) != (l.StartingTime > 0) {
		add("load", i, -1, "StartingTime", l.StartingTime, "starting amps and starting seconds go together")
	}
	if l.Cord != (Cord{}) {
		if _, err := nec.CordMaxA(l.Cord.AWG); err != nil {
			add("load", i, -1, "Cord.AWG", l.Cord.AWG, "18, 17, 16, 14, 12 or 10")
		}
		if !inRange(l.Cord.LengthM, 0, 200) {
			add("load", i, -1, "Cord.LengthM", l.Cord.LengthM, "0 to 200 m")
		}
	}
	if l.Cycles && l.WorstA() == 0 {
		add("load", i, -1, "Settings", "unknown", "a load that cycles by itself needs its amps")
	}
}

func inRange(v, lo, hi float64) bool { return !math.IsNaN(v) && v >= lo && v <= hi }
