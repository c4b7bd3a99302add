package power

import (
	"shedbell/line/say"
	"shedbell/power/nec"
)

// Finding is what a check of the wiring reports: worth a second look, but no
// reason to refuse a start.
type Finding struct {
	Rule    string
	Circuit int // -1 when it is about no circuit
	Load    int // -1 when it is about a whole circuit
	Says    say.Sentence
	Source  say.Sentence // what the rule rests on
}

// wiringRule is a rule that only the check of the wiring applies.
type wiringRule interface {
	name() string
	find(p *Panel, report func(circuit, load int, says say.Sentence))
}

// Names of the rules of the wiring check, stable for scripts.
const (
	RuleCordAndPlug   = "cord-and-plug"
	RuleReceptacle    = "receptacle"
	RuleFixedShare    = "fixed-share"
	RuleCordAmpacity  = "cord-ampacity"
	RuleVoltageDrop   = "voltage-drop"
	RuleWetWithoutGFC = "wet-without-gfci"
)

var wiringRules = [...]wiringRule{
	CordAndPlug{}, ReceptacleLimit{}, FixedShare{}, CordAmpacity{}, VoltageDrop{}, WetPlace{},
}

// Findings checks the wiring by the rules that do not refuse a start. Every
// finding is advice: local code and a licensed electrician decide.
func (p *Panel) Findings() []Finding {
	var out []Finding
	for _, r := range wiringRules {
		r.find(p, func(circuit, load int, says say.Sentence) {
			source := sourceOf(r.name())
			if !p.american(circuit) {
				source = say.New("rule-source.practice") // the sources are of the NEC
			}
			out = append(out, Finding{r.name(), circuit, load, says, source})
		})
	}
	return out
}

// CircuitV is the voltage between the conductors of a circuit.
func (p *Panel) CircuitV(circuit int) float64 {
	if p.Circuits[circuit].Leg == LegBoth {
		return 2 * p.VoltageV
	}
	return p.VoltageV
}

// american says whether the circuit's breaker puts it under the NEC's tables.
func (p *Panel) american(circuit int) bool { return p.Circuits[circuit].Breaker == UL489 }

// CordAndPlug finds a plug that takes more than 80 percent of a circuit.
type CordAndPlug struct{}

func (CordAndPlug) name() string { return RuleCordAndPlug }

func (CordAndPlug) find(p *Panel, report func(circuit, load int, says say.Sentence)) {
	for i := range p.Loads {
		l := &p.Loads[i]
		c := &p.Circuits[l.Circuit]
		if limit := nec.CordAndPlugShare * c.RatingA; p.american(l.Circuit) && !l.HardWired && l.WorstA() > limit+slackA {
			report(l.Circuit, i, say.New("wiring.share",
				say.Load(l.Name), say.Amps(l.WorstA()), say.Amps(limit), say.Circuit(c.Name)))
		}
	}
}

// ReceptacleLimit finds a plug that its receptacle must not carry, and receptacles
// that do not belong on their circuit.
type ReceptacleLimit struct{}

func (ReceptacleLimit) name() string { return RuleReceptacle }

func (ReceptacleLimit) find(p *Panel, report func(circuit, load int, says say.Sentence)) {
	for c := range p.Circuits {
		x := &p.Circuits[c]
		if x.ReceptacleA > 0 && p.american(c) && !nec.ReceptacleFits(x.RatingA, x.ReceptacleA) {
			report(c, -1, say.New("wiring.receptacles",
				say.Circuit(x.Name), say.Amps(x.ReceptacleA), say.Amps(x.RatingA)))
		}
	}
	for i := range p.Loads {
		l := &p.Loads[i]
		c := &p.Circuits[l.Circuit]
		limit := nec.ReceptacleMaxA(c.RatingA, c.ReceptacleA)
		if p.american(l.Circuit) && !l.HardWired && limit > 0 && l.WorstA() > limit+slackA {
			report(l.Circuit, i, say.New("wiring.receptacle",
				say.Load(l.Name), say.Amps(l.WorstA()), say.Amps(c.ReceptacleA), say.Circuit(c.Name), say.Amps(limit)))
		}
	}
}

// FixedShare finds circuits that share more than half of their rating between
// fixed equipment and plugs.
type FixedShare struct{}

func (FixedShare) name() string { return RuleFixedShare }

func (FixedShare) find(p *Panel, report func(circuit, load int, says say.Sentence)) {
	for c := range p.Circuits {
		fixed, plugs := 0.0, false
		for i := range p.Loads {
			if l := &p.Loads[i]; l.Circuit == c && l.HardWired {
				fixed += l.WorstA()
			} else if l.Circuit == c {
				plugs = true
			}
		}
		x := &p.Circuits[c]
		if limit := nec.FixedShare * x.RatingA; p.american(c) && plugs && fixed > limit+slackA {
			report(c, -1, say.New("wiring.fixed",
				say.Amps(fixed), say.Circuit(x.Name), say.Amps(limit)))
		}
	}
}

// CordAmpacity finds cords that are too thin for their load.
type CordAmpacity struct{}

func (CordAmpacity) name() string { return RuleCordAmpacity }

func (CordAmpacity) find(p *Panel, report func(circuit, load int, says say.Sentence)) {
	for i := range p.Loads {
		l := &p.Loads[i]
		if l.Cord.AWG == 0 {
			continue
		}
		limit, err := nec.CordMaxA(l.Cord.AWG)
		if err == nil && l.WorstA() > limit+slackA {
			report(l.Circuit, i, say.New("wiring.cord",
				say.Load(l.Name), say.Amps(l.WorstA()), l.Cord.AWG, say.Amps(limit)))
		}
	}
}

// VoltageDrop finds cords that are too long for their load.
type VoltageDrop struct{}

func (VoltageDrop) name() string { return RuleVoltageDrop }

func (VoltageDrop) find(p *Panel, report func(circuit, load int, says say.Sentence)) {
	for i := range p.Loads {
		l := &p.Loads[i]
		if l.Cord.AWG == 0 || l.Cord.LengthM <= 0 {
			continue
		}
		drop, err := nec.DropV(l.Cord.AWG, l.Cord.LengthM, l.WorstA())
		if volts := p.CircuitV(l.Circuit); err == nil && drop > nec.BranchDrop*volts {
			report(l.Circuit, i, say.New("wiring.drop",
				say.Load(l.Name), say.Volts(drop), say.Percent(100*drop/volts), say.Metres(l.Cord.LengthM), l.Cord.AWG))
		}
	}
}

// WetPlace finds loads in wet places without ground-fault protection.
type WetPlace struct{}

func (WetPlace) name() string { return RuleWetWithoutGFC }

func (WetPlace) find(p *Panel, report func(circuit, load int, says say.Sentence)) {
	for i := range p.Loads {
		l := &p.Loads[i]
		if c := &p.Circuits[l.Circuit]; l.Wet && !c.GFCI {
			report(l.Circuit, i, say.New("wiring.wet",
				say.Load(l.Name), say.Circuit(c.Name)))
		}
	}
}
