package power

import (
	"strings"

	"shedbell/line/say"
	"shedbell/power/iec"
	"shedbell/power/nec"
)

// RuleSet is what one standard asks of the wiring of a shed. Which one counts follows from
// the supply.
type RuleSet struct {
	continuous  float64 // what is on for three hours or more counts for
	ratings     []float64
	cordShare   float64 // most of a circuit for one plug beside others; 0 for no such rule
	fixedShare  float64 // most of a circuit for what is fixed in place beside plugs; 0 for none
	motorWire   float64 // what a motor's wire has to carry, as a share; 0 for no such rule
	drop        float64 // of the supply, lost while running
	lightDrop   float64
	groundFault string // what rules call its device
	device      func() say.Sentence
	sourceOf    func(rule string) say.Sentence

	outletMaxA func(circuitA, outletA float64) float64 // 0 when no table lists the pair
	outletFits func(circuitA, outletA float64) bool
	wire       func(Cord) (ampacity, breakerA, mostA float64, ok bool)
	cordMaxA   func(Cord) (float64, bool)
	ohmsPerKm  func(Cord) (float64, bool)
	size       func(Cord) say.Sentence
}

// startDrop is the most that a motor loses while it starts, as a share of the supply: with
// the square of the rest its torque goes (common practice, no source).
const startDrop = 0.15

// NEC is the code for 120 and 120/240 V, IEC60364 the standard for 230 V.
var (
	NEC = RuleSet{
		continuous: nec.ContinuousFactor, ratings: nec.Ratings, cordShare: nec.CordAndPlugShare, fixedShare: nec.FixedShare,
		motorWire: nec.MotorWire, drop: nec.BranchDrop, lightDrop: nec.BranchDrop, groundFault: "gfci",
		device:     func() say.Sentence { return say.New("wiring.gfci") },
		sourceOf:   func(rule string) say.Sentence { return say.New("rule-source." + rule) },
		outletMaxA: nec.ReceptacleMaxA, outletFits: nec.ReceptacleFits,
		wire: func(c Cord) (ampacity, breakerA, mostA float64, ok bool) { return nec.WireMaxA(c.awg()) },
		cordMaxA: func(c Cord) (float64, bool) {
			a, err := nec.CordMaxA(c.awg())
			return a, err == nil
		},
		ohmsPerKm: func(c Cord) (float64, bool) { return nec.OhmsPerKm(c.awg()) },
		size: func(c Cord) say.Sentence {
			if c.AWG == 0 {
				return say.New("wiring.mm2", c.MM2)
			}
			return say.New("wiring.awg", c.AWG)
		},
	}
	IEC60364 = RuleSet{
		continuous: 1, ratings: iec.Ratings, drop: iec.Drop, lightDrop: iec.LightDrop, groundFault: "rcd",
		device:     func() say.Sentence { return say.New("wiring.rcd") },
		sourceOf:   func(rule string) say.Sentence { return say.New("rule-source-iec." + rule) },
		outletMaxA: func(_, outletA float64) float64 { return outletA }, outletFits: iec.OutletFits,
		wire: func(c Cord) (ampacity, breakerA, mostA float64, ok bool) {
			a, ok := iec.WireMaxA(c.area(), c.Method)
			return a, a, a, ok
		},
		cordMaxA:  func(c Cord) (float64, bool) { return iec.CordMaxA(c.area()) },
		ohmsPerKm: func(c Cord) (float64, bool) { return iec.OhmsPerKm(c.area()) },
		size:      func(c Cord) say.Sentence { return say.New("wiring.mm2", c.area()) },
	}
)

// Rules is the standard for the panel's supply.
func (p *Panel) Rules() *RuleSet {
	if p.SupplyKind() == Single230 {
		return &IEC60364
	}
	return &NEC
}

// ruleName is a rule's name as the standard calls its devices.
func (r *RuleSet) ruleName(rule string) string {
	return strings.Replace(rule, "gfci", r.groundFault, 1)
}

// awg is the size, or the next thinner one of metric wire.
func (c Cord) awg() int {
	if c.AWG == 0 {
		awg, _ := nec.Thinner(c.MM2)
		return awg
	}
	return c.AWG
}

// area is the cross-section in square millimetres.
func (c Cord) area() float64 {
	if c.MM2 == 0 && c.AWG != 0 {
		return nec.Area(c.AWG)
	}
	return c.MM2
}

func (c Cord) known() bool { return c.AWG != 0 || c.MM2 != 0 }

// WireMaxA is the largest breaker that the wire of a circuit may hang on without getting
// too hot unseen; not ok where nobody has looked, and for a motor alone on its circuit,
// whose own protection sees it (NEC 430.32).
func (p *Panel) WireMaxA(circuit int) (most float64, ok bool) {
	wire := p.Circuits[circuit].Wire
	if !wire.known() {
		return 0, false
	}
	if i := p.only(circuit); i >= 0 && p.Loads[i].HardWired && p.Loads[i].StartingA > 0 && p.Rules().motorWire > 0 {
		return 0, false
	}
	_, _, most, ok = p.Rules().wire(wire)
	return most, ok
}

// only is the load that has a circuit for itself, -1 when there is none.
func (p *Panel) only(circuit int) int {
	found := -1
	for i := range p.Loads {
		if p.Loads[i].Circuit == circuit {
			if found >= 0 {
				return -1
			}
			found = i
		}
	}
	return found
}

// DropV is what a load loses over the wire of its circuit and its cord at a current; 0
// where nobody has looked.
func (p *Panel) DropV(load int, ampsA float64) float64 {
	l := &p.Loads[load]
	sum := 0.0
	for _, part := range []Cord{p.Circuits[l.Circuit].Wire, l.Cord} {
		if ohms, ok := p.Rules().ohmsPerKm(part); ok && part.LengthM > 0 {
			sum += 2 * ampsA * ohms * part.LengthM / 1000
		}
	}
	return sum
}
