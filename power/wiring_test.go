package power

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"
)

func findings(p *Panel) []string {
	var out []string
	for _, f := range p.Findings() {
		out = append(out, f.Rule)
	}
	return out
}

// NEC 210.23(A)(1) and Table 210.21(B)(2): 80 percent of 15 A and the limit of a
// 15 A receptacle are both 12 A; a 20 A receptacle may carry 16 A.
func TestPlugFindings(t *testing.T) {
	for _, c := range []struct {
		rating, receptacle, amps float64
		wired                    bool
		want                     []string
	}{
		{15, 0, 12, false, nil},
		{15, 0, 12.1, false, []string{RuleCordAndPlug}},
		{15, 15, 14, false, []string{RuleCordAndPlug, RuleReceptacle}},
		{20, 15, 14, false, []string{RuleReceptacle}},
		{20, 20, 14, false, nil},
		{20, 20, 16.5, false, []string{RuleCordAndPlug, RuleReceptacle}},
		{15, 20, 5, false, []string{RuleReceptacle}}, // Table 210.21(B)(3)
		{15, 15, 14, true, []string{RuleFixedShare}},
	} {
		p := one(c.rating, UL489, Load{Settings: amps(c.amps), HardWired: c.wired}, 1)
		p.Circuits[0].ReceptacleA = c.receptacle
		if got := findings(p); !slices.Equal(got, c.want) {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

// NEC 210.23(A)(2): fixed equipment takes at most half beside plugs.
func TestFixedShareFinding(t *testing.T) {
	p := one(20, UL489, Load{Settings: amps(10), HardWired: true}, 1)
	if got := findings(p); len(got) != 0 {
		t.Fatalf("10 of 20 A: %v", got)
	}
	p.Loads[0].Settings[0].AmpsA = 10.5
	if got := findings(p); !slices.Equal(got, []string{RuleFixedShare}) {
		t.Fatalf("10.5 of 20 A: %v", got)
	}
}

// NEC Table 400.5(A)(1) column B: AWG 16 carries 13 A, AWG 14 carries 18 A.
// Chapter 9 Table 8, 7-strand: 16 A over 50 ft of AWG 14 loses 2*16*3.14*50/1000 =
// 5.02 V of 120 V, 4.2 percent; over AWG 10 1.98 V, 1.7 percent.
func TestCordFindings(t *testing.T) {
	for _, c := range []struct {
		amps float64
		cord Cord
		want []string
	}{
		{13, Cord{AWG: 16, LengthM: 3}, nil},
		{14, Cord{AWG: 16, LengthM: 3}, []string{RuleCordAmpacity}},
		{14, Cord{AWG: 14, LengthM: 3}, nil},
		{16, Cord{AWG: 14, LengthM: 50 * 0.3048}, []string{RuleVoltageDrop}},
		{16, Cord{AWG: 10, LengthM: 50 * 0.3048}, nil},
	} {
		p := one(20, UL489, Load{Settings: amps(c.amps), Cord: c.cord}, 1)
		if got := findings(p); !slices.Equal(got, c.want) {
			t.Errorf("%v A over %+v: %v", c.amps, c.cord, got)
		}
	}
}

func TestWetFinding(t *testing.T) {
	p := one(20, UL489, Load{Settings: amps(5), Wet: true}, 1)
	if got := findings(p); !slices.Equal(got, []string{RuleWetWithoutGFC}) {
		t.Fatal(got)
	}
	p.Circuits[0].GFCI = true
	if got := findings(p); len(got) != 0 {
		t.Fatal(got)
	}
}

// The NEC's shares say nothing about circuits built after IEC 60898-1.
func TestNoAmericanFindingsAbroad(t *testing.T) {
	p := one(16, IECC, Load{Settings: amps(15)}, 1)
	p.VoltageV = 230
	if got := findings(p); len(got) != 0 {
		t.Fatal(got)
	}
	p.Loads[0].Wet = true
	for _, f := range p.Findings() {
		if strings.Contains(f.Source.String(), "NEC") {
			t.Errorf("%s abroad rests on %s", f.Rule, f.Source)
		}
	}
}

// I = P/(V pf), by hand.
func TestWatts(t *testing.T) {
	for _, c := range []struct{ watts, volts, factor, amps float64 }{
		{1200, 120, 1, 10}, {1200, 240, 1, 5}, {960, 120, 0.8, 10},
	} {
		if a, err := WattsA(c.watts, c.volts, c.factor); err != nil || math.Abs(a-c.amps) > 1e-9 {
			t.Errorf("%+v: %v A, %v", c, a, err)
		}
	}
	for _, bad := range [][3]float64{{0, 120, 1}, {-5, 120, 1}, {5, 120, 1.1}, {5, 120, 0}, {5, 0, 1}, {math.NaN(), 120, 1}} {
		if _, err := WattsA(bad[0], bad[1], bad[2]); err == nil {
			t.Errorf("%v accepted", bad)
		}
	}
}

func TestValidateReportsAllFaults(t *testing.T) {
	if f := smallShed().Validate(); len(f) > 0 {
		t.Fatalf("sound panel: %v", f)
	}
	p := smallShed()
	p.VoltageV, p.AmbientC, p.DeratePerK = 12, math.NaN(), 1
	p.Feeders = []Feeder{{Name: "main", RatingA: -1}}
	p.Circuits[0] = Circuit{RatingA: 0, EffectiveA: 30, ReceptacleA: -15, Breaker: 9, Feeder: "none", Leg: 7}
	p.Loads[0].Settings, p.Loads[0].Circuit = nil, 9
	p.Loads[1].Settings[0].AmpsA = -2
	p.Loads[1].StartingA = 20
	p.Loads[2].Cord = Cord{AWG: 13, LengthM: -1}
	p.Loads[3].Settings[0].AmpsA = 0
	var got []string
	for _, f := range p.Validate() {
		got = append(got, f.Kind+" "+f.Field)
		if f.Mend.IsZero() || f.Error() == "" {
			t.Errorf("%+v says nothing", f)
		}
	}
	want := []string{"panel VoltageV", "panel AmbientC", "panel DeratePerK", "feeder RatingA",
		"circuit RatingA", "circuit EffectiveA", "circuit ReceptacleA", "circuit Breaker", "circuit Feeder", "circuit Leg",
		"load Circuit", "load Settings", "setting AmpsA", "load StartingTime", "load Cord.AWG", "load Cord.LengthM", "load Settings"}
	if !slices.Equal(got, want) {
		t.Fatalf("got  %v\nwant %v", got, want)
	}
	abroad := &Panel{VoltageV: 230, Supply: Single230, Circuits: []Circuit{{RatingA: 16, Leg: LegA}}}
	if f := abroad.Validate(); len(f) != 1 || f[0].Field != "Leg" {
		t.Fatalf("a leg without split phase: %v", f)
	}
}

// A machine alone on its circuit is not told to get one (210.23 is about circuits with
// several outlets), luminaires are no fixed appliances (210.23(A)(2)), and what is no
// standard rating in one standard may be one in the other.
func TestFindingsKnowWhatTheyAreAbout(t *testing.T) {
	p := one(15, UL489, Load{Settings: amps(14)}, 1)
	p.Loads = p.Loads[:1]
	if got := findings(p); len(got) != 0 {
		t.Errorf("14 A alone on 15 A: %v", got)
	}
	p = one(20, UL489, Load{Settings: amps(12), HardWired: true, Light: true}, 1)
	if got := findings(p); len(got) != 0 {
		t.Errorf("fixed lights: %v", got)
	}
	for _, c := range []struct {
		volts, rating float64
		odd           bool
	}{{120, 17, true}, {120, 16, true}, {120, 20, false}, {230, 16, false}, {230, 17, true}, {230, 15, true}, {230, 20, false}} {
		p := one(c.rating, UL489, Load{Settings: amps(1)}, 1)
		p.VoltageV, p.Feeders = c.volts, []Feeder{{Name: "main", RatingA: c.rating}}
		if got := len(findings(p)); (got == 2) != c.odd || got == 1 {
			t.Errorf("%+v: %v", c, findings(p))
		}
	}
}

// NEC 240.4(D): 15 A on 14 AWG, 20 on 12, 30 on 10; 8 AWG carries 40 A at 60 C and 50 A at
// 75 C (310.16, from memory). IEC 60364-4-43: In <= Iz, method B2 of 2.5 mm2 23 A.
func TestWireAgainstBreaker(t *testing.T) {
	for _, c := range []struct {
		volts, rating float64
		wire          Cord
		rules         []string
		fault         bool
	}{
		{120, 15, Cord{AWG: 14}, nil, false},
		{120, 20, Cord{AWG: 14}, []string{RuleWireAmpacity}, true},
		{120, 20, Cord{AWG: 12}, nil, false},
		{120, 25, Cord{AWG: 12}, []string{RuleWireAmpacity}, true},
		{120, 30, Cord{AWG: 10}, nil, false},
		{120, 40, Cord{AWG: 8}, nil, false},
		{120, 50, Cord{AWG: 8}, []string{RuleWireAmpacity}, false},
		{120, 60, Cord{AWG: 8}, []string{RuleWireAmpacity}, true},
		{120, 20, Cord{MM2: 2.5}, []string{RuleWireAmpacity}, true}, // thinner than 12 AWG
		{230, 16, Cord{MM2: 1.5}, nil, false},
		{230, 16, Cord{MM2: 1.5, Method: "A2"}, []string{RuleWireAmpacity}, true},
		{230, 20, Cord{MM2: 2.5}, nil, false},
		{230, 25, Cord{MM2: 2.5}, []string{RuleWireAmpacity}, true},
		{230, 25, Cord{MM2: 2.5, Method: "C"}, nil, false},
	} {
		p := one(c.rating, UL489, Load{Settings: amps(1)}, 1)
		p.VoltageV, p.Circuits[0].Wire = c.volts, c.wire
		if got := findings(p); !slices.Equal(got, c.rules) {
			t.Errorf("%+v: %v", c, got)
		}
		if faults := p.Validate(); (len(faults) == 1 && faults[0].Field == "Wire") != c.fault {
			t.Errorf("%+v: %v", c, faults)
		}
	}
	// A motor fastened in place alone on its circuit may have a breaker of up to 250 percent
	// (430.52); its wire has to carry 125 percent of its current (430.22): 15 A for 12 A.
	motor := one(30, UL489, Load{Settings: amps(12), HardWired: true, StartingA: 60, StartingTime: time.Second}, 1)
	motor.Loads, motor.Circuits[0].Wire = motor.Loads[:1], Cord{AWG: 14}
	if got := findings(motor); len(got) != 0 || len(motor.Validate()) != 0 {
		t.Errorf("12 A motor on 14 AWG: %v %v", got, motor.Validate())
	}
	motor.Loads[0].Settings[0].AmpsA = 12.1
	if got := findings(motor); !slices.Equal(got, []string{RuleMotorWire}) {
		t.Errorf("12.1 A motor on 14 AWG: %v", got)
	}
}

// Over 100 ft of 12 AWG, 7-strand 1.98 ohm/kft, 16 A lose 2*16*1.98*0.1 = 6.34 V of 120 V,
// 5.3 percent; 9 A lose 3.56 V, 2.97 percent. A start of 80 A would lose 31.7 V at full
// voltage: with the motor's 120/80 ohm behind it, 120*31.7/151.7 = 25 V, 21 percent.
func TestDropOverWireAndCord(t *testing.T) {
	const feet = 0.3048
	for _, c := range []struct {
		amps, start float64
		want        []string
	}{{16, 0, []string{RuleVoltageDrop}}, {9, 0, nil}, {9, 80, []string{RuleStartDrop}}, {9, 50, nil}} {
		for _, parts := range [][2]float64{{100, 0}, {50, 50}, {0, 100}} {
			l := Load{Settings: amps(c.amps), Cord: Cord{AWG: 12, LengthM: parts[1] * feet}}
			if c.start > 0 {
				l.StartingA, l.StartingTime = c.start, time.Second
			}
			p := one(20, UL489, l, 0.1)
			p.Circuits[0].Wire = Cord{AWG: 12, LengthM: parts[0] * feet}
			if got := findings(p); !slices.Equal(got, c.want) {
				t.Errorf("%+v over %v ft: %v", c, parts, got)
			}
		}
	}
	// 230 V: 2.5 mm2 has 7.98 ohm/km at 20 C, 9.55 at 70 C; 16 A over 40 m lose 12.2 V, 5.3
	// percent of 230; lights 3 percent: 7 A over 60 m lose 8.0 V, 3.5 percent.
	for _, c := range []struct {
		amps, metres float64
		light        bool
		want         []string
	}{{16, 40, false, []string{RuleVoltageDrop}}, {16, 37, false, nil}, {7, 60, true, []string{RuleVoltageDrop}}, {7, 60, false, nil}} {
		p := one(16, IECB, Load{Settings: amps(c.amps), Light: c.light}, 0.1)
		p.VoltageV, p.Circuits[0].Wire = 230, Cord{MM2: 2.5, LengthM: c.metres}
		if got := findings(p); !slices.Equal(got, c.want) {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

// Kirchhoff: currents of opposite legs subtract in a shared neutral, of one leg they add.
func TestSharedNeutral(t *testing.T) {
	for _, c := range []struct {
		supply Supply
		a, b   Leg
		danger bool
		says   string
	}{
		{Split240, LegA, LegB, false, "240"}, {Split240, LegA, LegA, true, "35"}, {Split240, LegNone, LegB, true, "not known"},
		{Single120, LegNone, LegNone, true, "35"},
	} {
		p := &Panel{VoltageV: 120, Supply: c.supply, Circuits: []Circuit{{Name: "one", RatingA: 15, Leg: c.a, NeutralWith: "two"}, {Name: "two", RatingA: 20, Leg: c.b, NeutralWith: "one"}}}
		got := p.Findings()
		if len(got) != 1 || got[0].Rule != RuleSharedNeutral || got[0].Danger != c.danger || !strings.Contains(got[0].Says.String(), c.says) {
			t.Errorf("%+v: %+v", c, got)
		}
		p.Circuits[1].NeutralWith = ""
		if again := p.Findings(); len(again) != 1 || len(p.Validate()) != 0 {
			t.Errorf("named once: %+v %v", again, p.Validate())
		}
		if p.Circuits[0].NeutralWith = "one"; len(p.Validate()) != 1 {
			t.Error("a circuit shares its neutral with itself")
		}
	}
}

func TestGroundFaultFindings(t *testing.T) {
	p := &Panel{VoltageV: 120, Circuits: []Circuit{{Name: "wet", RatingA: 20, GroundFault: "front"}, {Name: "cold", RatingA: 20, GroundFault: "front"}, {Name: "dry", RatingA: 20}},
		Loads: []Load{{Name: "tub", Settings: amps(5), Wet: true}, {Name: "fridge", Circuit: 1, Settings: amps(5), Cycles: true, StaysOn: true}}}
	if got := findings(p); !slices.Equal(got, []string{RuleColdBehind, RuleDarkTogether}) {
		t.Fatal(got)
	}
	if says := p.Findings()[1].Says.String(); !strings.Contains(says, "wet") || !strings.Contains(says, "cold") || !strings.Contains(says, "fridge") || strings.Contains(says, "dry") {
		t.Error(says)
	}
	p.Loads[1].Circuit = 2
	if got := findings(p); !slices.Equal(got, []string{RuleDarkTogether}) {
		t.Fatal(got)
	}
}

// americanWords have no place in a shed on 230 V.
var americanWords = []string{"NEC", "AWG", "GFCI", "gfci", "UL 489", "OSHA", "NFPA", "125 percent", "210.", "310.", "400.5", "Chapter 9"}

// Nothing American in a shed on 230 V: every finding and every refusal, with its name and
// what it rests on, of random sheds with all that can be wrong.
func TestNothingAmericanOn230V(t *testing.T) {
	seen := map[string]bool{}
	for seed := range 600 {
		r := rand.New(rand.NewPCG(uint64(seed), 230))
		d := dice(r.IntN)
		p := randomPanel(d, 6)
		p.VoltageV, p.Supply = 230, Single230
		for i := range p.Circuits {
			c := &p.Circuits[i]
			c.Leg, c.Breaker, c.RatingA = LegNone, Standard(d.between(1, 3)), []float64{10, 16, 17, 32}[d(4)]
			c.Wire = []Cord{{}, {MM2: 1.5, LengthM: 60}, {MM2: 2.5, LengthM: 90, Method: "C"}, {AWG: 14, LengthM: 40}}[d(4)]
			c.GroundFault, c.ReceptacleA = []string{"", "front"}[d(2)], []float64{0, 13, 16}[d(3)]
			c.NeutralWith = p.Circuits[d(len(p.Circuits))].Name
		}
		for i := range p.Loads {
			l := &p.Loads[i]
			l.Wet, l.Light, l.HardWired = d.chance(40), d.chance(20), d.chance(30)
			l.Cord = []Cord{{}, {MM2: 0.75, LengthM: 20}, {AWG: 16, LengthM: 50}}[d(3)]
			l.Continuous = d.chance(50)
		}
		look := func(rule string, texts ...string) {
			seen[rule] = true
			for _, text := range append(texts, rule) {
				for _, word := range americanWords {
					if strings.Contains(text, word) {
						t.Fatalf("%s: %q has %q", rule, text, word)
					}
				}
			}
		}
		for _, f := range p.Findings() {
			look(f.Rule, f.Says.String(), f.Source.String())
		}
		s, now := randomDay(d, p, 20)
		for i := range p.Loads {
			v := p.Judge(s, Ask{Load: i, For: 4 * time.Hour}, now)
			for _, reason := range v.Reasons {
				look(reason.Rule, reason.Says.String(), reason.Source.String())
			}
			look("verdict", v.Says().String())
		}
	}
	for _, rule := range []string{RuleReceptacle, RuleCordAmpacity, RuleVoltageDrop, RuleStartDrop, "wet-without-rcd", RuleStandardRating,
		RuleWireAmpacity, RuleSharedNeutral, "cold-behind-rcd", RuleDarkTogether, RuleRating, RuleStarting, RuleOverlap, RuleAlone, RuleReserved} {
		if !seen[rule] {
			t.Errorf("%s was never seen", rule)
		}
	}
	for _, rule := range []string{RuleContinuous, RuleCordAndPlug, RuleFixedShare, RuleMotorWire} {
		if seen[rule] {
			t.Errorf("%s is a rule of the NEC", rule)
		}
	}
}

// IEC 60898-1 rates In as carried continuously at 30 C (hongxinaiot.com "current rating for
// MCB"): no 125 percent on 230 V.
func TestNoContinuousFactorOn230V(t *testing.T) {
	p := one(16, IECB, Load{Settings: amps(16), Continuous: true}, 0)
	wantRules(t, p.Judge(NewState(p), Ask{}, t0), RuleContinuous)
	p.VoltageV = 230
	if v := p.Judge(NewState(p), Ask{For: 8 * time.Hour}, t0); !v.Allowed {
		t.Fatal(v.Says().String())
	}
}
