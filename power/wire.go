package power

import (
	"math"
	"slices"

	"shedbell/line/say"
)

// StandardRating finds breakers whose number no standard has.
type StandardRating struct{}

func (StandardRating) name() string { return RuleStandardRating }

func (StandardRating) find(p *Panel, f reporter) {
	check := func(circuit int, name string, a float64) {
		if !slices.Contains(p.Rules().ratings, a) {
			f.advise(circuit, -1, say.New("wiring.rating", say.Circuit(name), say.Amps(a)))
		}
	}
	for i := range p.Circuits {
		check(i, p.Circuits[i].Name, p.Circuits[i].RatingA)
	}
	for i := range p.Feeders {
		check(-1, p.Feeders[i].Name, p.Feeders[i].RatingA)
	}
}

// WireAmpacity finds wires that may be too thin for their breaker.
type WireAmpacity struct{}

func (WireAmpacity) name() string { return RuleWireAmpacity }

func (WireAmpacity) find(p *Panel, f reporter) {
	for i := range p.Circuits {
		c := &p.Circuits[i]
		if !c.Wire.known() {
			continue
		}
		a, by, _, ok := p.Rules().wire(c.Wire)
		if most, judged := p.WireMaxA(i); ok && judged && c.RatingA > by+slackA {
			says := say.New("wiring.wire", say.Circuit(c.Name), p.Rules().size(c.Wire), say.Amps(a), say.Amps(by), say.Amps(c.RatingA))
			f.report(i, -1, c.RatingA > most+slackA, says)
		}
	}
}

// MotorWire finds wires that are too thin for a motor.
type MotorWire struct{}

func (MotorWire) name() string { return RuleMotorWire }

func (MotorWire) find(p *Panel, f reporter) {
	r := p.Rules()
	for i := range p.Loads {
		l := &p.Loads[i]
		wire := p.Circuits[l.Circuit].Wire
		if a, _, _, ok := r.wire(wire); ok && l.StartingA > 0 && r.motorWire*l.WorstA() > a+slackA {
			f.danger(l.Circuit, i, say.New("wiring.motor", say.Load(l.Name), say.Amps(r.motorWire*l.WorstA()), r.size(wire), say.Amps(a)))
		}
	}
}

// VoltageDrop finds wires and cords that are too long for their load.
type VoltageDrop struct{}

func (VoltageDrop) name() string { return RuleVoltageDrop }

func (VoltageDrop) find(p *Panel, f reporter) {
	for i := range p.Loads {
		l := &p.Loads[i]
		limit, volts := p.Rules().drop, p.CircuitV(l.Circuit)
		if l.Light {
			limit = p.Rules().lightDrop
		}
		if drop := p.DropV(i, l.WorstA()); drop > limit*volts {
			f.advise(l.Circuit, i, say.New("wiring.drop", say.Load(l.Name), say.Volts(drop), say.Percent(100*drop/volts)))
		}
	}
}

// StartDrop finds motors that lose too much while they start. Their current falls with the
// voltage, so what is lost of the supply is the share of the line in the whole loop.
type StartDrop struct{}

func (StartDrop) name() string { return RuleStartDrop }

func (StartDrop) find(p *Panel, f reporter) {
	for i := range p.Loads {
		l := &p.Loads[i]
		volts := p.CircuitV(l.Circuit)
		full := p.DropV(i, l.StartingA)
		if drop := volts * full / (volts + full); drop > startDrop*volts {
			f.advise(l.Circuit, i, say.New("wiring.start-drop", say.Load(l.Name), say.Volts(drop), say.Percent(100*drop/volts)))
		}
	}
}

// SharedNeutral finds circuits that share one neutral. From opposite legs it carries the
// difference, else the sum, which no breaker sees.
type SharedNeutral struct{}

func (SharedNeutral) name() string { return RuleSharedNeutral }

func (SharedNeutral) find(p *Panel, f reporter) {
	for i := range p.Circuits {
		c := &p.Circuits[i]
		k, ok := p.CircuitByName(c.NeutralWith)
		if c.NeutralWith == "" || !ok || k == i || k < i && p.Circuits[k].NeutralWith == c.Name {
			continue
		}
		o := &p.Circuits[k]
		a, b := say.Circuit(c.Name), say.Circuit(o.Name)
		split := p.SupplyKind() == Split240
		switch {
		case split && (c.Leg == LegA && o.Leg == LegB || c.Leg == LegB && o.Leg == LegA):
			f.advise(i, -1, say.New("wiring.neutral-opposite", a, b, say.Volts(2*p.VoltageV)))
		case split && (c.Leg == LegNone || o.Leg == LegNone):
			f.danger(i, -1, say.New("wiring.neutral-unknown", a, b))
		default:
			f.danger(i, -1, say.New("wiring.neutral-same", a, b, say.Amps(c.RatingA+o.RatingA), say.Amps(math.Max(c.RatingA, o.RatingA))))
		}
	}
}

// protected says whether a ground-fault device may cut a circuit.
func (c *Circuit) protected() bool { return c.GFCI || c.GroundFault != "" }

// ColdBehind finds cold storage behind a ground-fault device.
type ColdBehind struct{}

func (ColdBehind) name() string { return RuleColdBehind }

func (ColdBehind) find(p *Panel, f reporter) {
	for i := range p.Loads {
		if l := &p.Loads[i]; l.Cycles && l.StaysOn && p.Circuits[l.Circuit].protected() {
			f.advise(l.Circuit, i, say.New("wiring.cold", say.Load(l.Name), p.Rules().device()))
		}
	}
}

// DarkTogether finds circuits that one ground-fault device cuts.
type DarkTogether struct{}

func (DarkTogether) name() string { return RuleDarkTogether }

func (DarkTogether) find(p *Panel, f reporter) {
	for i := range p.Circuits {
		device := p.Circuits[i].GroundFault
		var names say.List
		var stay []int
		first := i
		for k := range p.Circuits {
			if device == "" || p.Circuits[k].GroundFault != device {
				continue
			}
			first = min(first, k)
			names = append(names, say.Circuit(p.Circuits[k].Name))
			for l := range p.Loads {
				if p.Loads[l].Circuit == k && p.Loads[l].StaysOn {
					stay = append(stay, l)
				}
			}
		}
		kind := p.Rules().device()
		switch {
		case len(names) < 2 || first < i:
		case len(stay) == 0:
			f.advise(i, -1, say.New("wiring.dark", names, kind, say.Circuit(device)))
		default:
			f.advise(i, -1, say.New("wiring.dark-with", names, kind, say.Circuit(device), p.names(stay)))
		}
	}
}
