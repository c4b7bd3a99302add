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
}

// wiringRule is a rule that only the check of the wiring applies.
type wiringRule interface {
	Rule
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
			out = append(out, Finding{r.Name(), circuit, load, says})
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

// Name returns the rule's stable name.
func (CordAndPlug) Name() string { return RuleCordAndPlug }

// Source says where the rule comes from.
func (CordAndPlug) Source() string { return "NEC 210.23(A)(1)" }

// Text is the rule in one sentence.
func (CordAndPlug) Text() string {
	return "One load on a plug takes no more than 80 percent of a circuit with several outlets."
}

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

// Name returns the rule's stable name.
func (ReceptacleLimit) Name() string { return RuleReceptacle }

// Source says where the rule comes from.
func (ReceptacleLimit) Source() string {
	return "NEC Tables 210.21(B)(2) and (B)(3), OSHA 29 CFR 1910.304 Tables S-4 and S-5"
}

// Text is the rule in one sentence.
func (ReceptacleLimit) Text() string {
	return "A receptacle fits its circuit and carries no more than the table gives it."
}

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

// Name returns the rule's stable name.
func (FixedShare) Name() string { return RuleFixedShare }

// Source says where the rule comes from.
func (FixedShare) Source() string { return "NEC 210.23(A)(2)" }

// Text is the rule in one sentence.
func (FixedShare) Text() string {
	return "Equipment fastened in place takes no more than half of a circuit that also has plugs."
}

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

// Name returns the rule's stable name.
func (CordAmpacity) Name() string { return RuleCordAmpacity }

// Source says where the rule comes from.
func (CordAmpacity) Source() string {
	return "NEC Table 400.5(A)(1) column B, two current-carrying conductors, 30 C"
}

// Text is the rule in one sentence.
func (CordAmpacity) Text() string { return "A cord carries no more than its wire size allows." }

func (CordAmpacity) find(p *Panel, report func(circuit, load int, says say.Sentence)) {
	for i := range p.Loads {
		l := &p.Loads[i]
		if l.Cord.AWG == 0 {
			continue
		}
		limit, err := nec.CordMaxA(l.Cord.AWG, 2)
		if err == nil && l.WorstA() > limit+slackA {
			report(l.Circuit, i, say.New("wiring.cord",
				say.Load(l.Name), say.Amps(l.WorstA()), l.Cord.AWG, say.Amps(limit)))
		}
	}
}

// VoltageDrop finds cords that are too long for their load.
type VoltageDrop struct{}

// Name returns the rule's stable name.
func (VoltageDrop) Name() string { return RuleVoltageDrop }

// Source says where the rule comes from.
func (VoltageDrop) Source() string {
	return "NEC Chapter 9 Table 8 (7-strand copper, 75 C); 3 percent advised by 210.19(A)"
}

// Text is the rule in one sentence.
func (VoltageDrop) Text() string {
	return "A cord loses no more than 3 percent of the voltage at the load's running current."
}

func (VoltageDrop) find(p *Panel, report func(circuit, load int, says say.Sentence)) {
	for i := range p.Loads {
		l := &p.Loads[i]
		if l.Cord.AWG == 0 || l.Cord.LengthM <= 0 {
			continue
		}
		drop, err := nec.DropV(l.Cord.AWG, true, l.Cord.LengthM, l.WorstA())
		if volts := p.CircuitV(l.Circuit); err == nil && drop > nec.BranchDrop*volts {
			report(l.Circuit, i, say.New("wiring.drop",
				say.Load(l.Name), say.Volts(drop), say.Percent(100*drop/volts), say.Metres(l.Cord.LengthM), l.Cord.AWG))
		}
	}
}

// WetPlace finds loads in wet places without ground-fault protection.
type WetPlace struct{}

// Name returns the rule's stable name.
func (WetPlace) Name() string { return RuleWetWithoutGFC }

// Source says where the rule comes from.
func (WetPlace) Source() string {
	return "NEC 210.8(B); a class A device trips at 6 mA (UL 943)"
}

// Text is the rule in one sentence.
func (WetPlace) Text() string {
	return "Receptacles in wet places and near sinks have ground-fault protection."
}

func (WetPlace) find(p *Panel, report func(circuit, load int, says say.Sentence)) {
	for i := range p.Loads {
		l := &p.Loads[i]
		if c := &p.Circuits[l.Circuit]; l.Wet && !c.GFCI {
			report(l.Circuit, i, say.New("wiring.wet",
				say.Load(l.Name), say.Circuit(c.Name)))
		}
	}
}
