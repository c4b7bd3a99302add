package power

import (
	"math"
	"slices"
	"strings"
	"testing"
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
		{15, 15, 14, true, nil},
	} {
		p := one(c.rating, UL489, Load{Settings: amps(c.amps), HardWired: c.wired}, 1)
		p.Loads = p.Loads[:1]
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
		{13, Cord{16, 3}, nil},
		{14, Cord{16, 3}, []string{RuleCordAmpacity}},
		{14, Cord{14, 3}, nil},
		{16, Cord{14, 50 * 0.3048}, []string{RuleVoltageDrop}},
		{16, Cord{10, 50 * 0.3048}, nil},
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
	p.Loads[2].Cord = Cord{13, -1}
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
