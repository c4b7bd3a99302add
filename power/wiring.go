package power

import (
	"slices"

	"shedbell/line/say"
)

// Finding is what a check of the wiring reports: worth a second look, but no
// reason to refuse a start.
type Finding struct {
	Rule    string
	Circuit int  // -1 when it is about no circuit
	Load    int  // -1 when it is about a whole circuit
	Danger  bool // somebody may get hurt or a wire overheat: these come first
	Says    say.Sentence
	Source  say.Sentence // what the rule rests on
}

// wiringRule is a rule that only the check of the wiring applies.
type wiringRule interface {
	name() string
	find(p *Panel, f reporter)
}

// reporter takes what a rule finds.
type reporter struct {
	report func(circuit, load int, danger bool, says say.Sentence)
}

func (f reporter) advise(circuit, load int, says say.Sentence) { f.report(circuit, load, false, says) }
func (f reporter) danger(circuit, load int, says say.Sentence) { f.report(circuit, load, true, says) }

// Names of the rules of the wiring check, stable for scripts.
const (
	RuleCordAndPlug   = "cord-and-plug"
	RuleReceptacle    = "receptacle"
	RuleFixedShare    = "fixed-share"
	RuleCordAmpacity  = "cord-ampacity"
	RuleVoltageDrop   = "voltage-drop"
	RuleWetWithoutGFC = "wet-without-gfci" // on 230 V with rcd in its place

	RuleStandardRating = "standard-rating"
	RuleWireAmpacity   = "wire-ampacity"
	RuleMotorWire      = "motor-wire"
	RuleStartDrop      = "start-drop"
	RuleSharedNeutral  = "shared-neutral"
	RuleColdBehind     = "cold-behind-gfci"
	RuleDarkTogether   = "dark-together"
)

var wiringRules = [...]wiringRule{
	CordAndPlug{}, ReceptacleLimit{}, FixedShare{}, CordAmpacity{}, VoltageDrop{}, StartDrop{}, WetPlace{},
	StandardRating{}, WireAmpacity{}, MotorWire{}, SharedNeutral{}, ColdBehind{}, DarkTogether{},
}

// Findings checks the wiring by the rules that do not refuse a start, what is dangerous
// first. Every finding is advice: local code and a licensed electrician decide.
func (p *Panel) Findings() []Finding {
	var out []Finding
	rules := p.Rules()
	for _, r := range wiringRules {
		r.find(p, reporter{func(circuit, load int, danger bool, says say.Sentence) {
			out = append(out, Finding{rules.ruleName(r.name()), circuit, load, danger, says, rules.sourceOf(r.name())})
		}})
	}
	slices.SortStableFunc(out, func(a, b Finding) int {
		switch {
		case a.Danger == b.Danger:
			return 0
		case a.Danger:
			return -1
		}
		return 1
	})
	return out
}

// CircuitV is the voltage between the conductors of a circuit.
func (p *Panel) CircuitV(circuit int) float64 {
	if p.Circuits[circuit].Leg == LegBoth {
		return 2 * p.VoltageV
	}
	return p.VoltageV
}

// CordAndPlug finds a plug that takes more than 80 percent of a circuit which others share.
type CordAndPlug struct{}

func (CordAndPlug) name() string { return RuleCordAndPlug }

func (CordAndPlug) find(p *Panel, f reporter) {
	for i := range p.Loads {
		l := &p.Loads[i]
		c := &p.Circuits[l.Circuit]
		share := p.Rules().cordShare
		if limit := share * c.RatingA; share > 0 && !l.HardWired && p.only(l.Circuit) < 0 && l.WorstA() > limit+slackA {
			f.advise(l.Circuit, i, say.New("wiring.share",
				say.Load(l.Name), say.Amps(l.WorstA()), say.Amps(limit), say.Circuit(c.Name)))
		}
	}
}

// ReceptacleLimit finds a plug that its receptacle must not carry, and receptacles
// that do not belong on their circuit.
type ReceptacleLimit struct{}

func (ReceptacleLimit) name() string { return RuleReceptacle }

func (ReceptacleLimit) find(p *Panel, f reporter) {
	for c := range p.Circuits {
		x := &p.Circuits[c]
		if x.ReceptacleA > 0 && !p.Rules().outletFits(x.RatingA, x.ReceptacleA) {
			f.advise(c, -1, say.New("wiring.receptacles",
				say.Circuit(x.Name), say.Amps(x.ReceptacleA), say.Amps(x.RatingA)))
		}
	}
	for i := range p.Loads {
		l := &p.Loads[i]
		c := &p.Circuits[l.Circuit]
		limit := p.Rules().outletMaxA(c.RatingA, c.ReceptacleA)
		if !l.HardWired && limit > 0 && l.WorstA() > limit+slackA {
			f.advise(l.Circuit, i, say.New("wiring.receptacle",
				say.Load(l.Name), say.Amps(l.WorstA()), say.Amps(c.ReceptacleA), say.Circuit(c.Name), say.Amps(limit)))
		}
	}
}

// FixedShare finds circuits that share more than half of their rating between
// fixed equipment and plugs. Luminaires do not count.
type FixedShare struct{}

func (FixedShare) name() string { return RuleFixedShare }

func (FixedShare) find(p *Panel, f reporter) {
	for c := range p.Circuits {
		fixed, plugs := 0.0, false
		for i := range p.Loads {
			if l := &p.Loads[i]; l.Circuit == c && l.HardWired && !l.Light {
				fixed += l.WorstA()
			} else if l.Circuit == c && !l.HardWired {
				plugs = true
			}
		}
		x := &p.Circuits[c]
		share := p.Rules().fixedShare
		if limit := share * x.RatingA; share > 0 && plugs && fixed > limit+slackA {
			f.advise(c, -1, say.New("wiring.fixed",
				say.Amps(fixed), say.Circuit(x.Name), say.Amps(limit)))
		}
	}
}

// CordAmpacity finds cords that are too thin for their load.
type CordAmpacity struct{}

func (CordAmpacity) name() string { return RuleCordAmpacity }

func (CordAmpacity) find(p *Panel, f reporter) {
	for i := range p.Loads {
		l := &p.Loads[i]
		if limit, ok := p.Rules().cordMaxA(l.Cord); ok && l.WorstA() > limit+slackA {
			f.danger(l.Circuit, i, say.New("wiring.cord",
				say.Load(l.Name), say.Amps(l.WorstA()), p.Rules().size(l.Cord), say.Amps(limit)))
		}
	}
}

// WetPlace finds loads in wet places without ground-fault protection.
type WetPlace struct{}

func (WetPlace) name() string { return RuleWetWithoutGFC }

func (WetPlace) find(p *Panel, f reporter) {
	for i := range p.Loads {
		l := &p.Loads[i]
		if c := &p.Circuits[l.Circuit]; l.Wet && !c.protected() {
			f.danger(l.Circuit, i, say.New("wiring.wet",
				say.Load(l.Name), say.Circuit(c.Name), p.Rules().device()))
		}
	}
}
