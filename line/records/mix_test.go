package records

import (
	"math"
	"testing"
)

func TestKansasTable(t *testing.T) {
	// Kansas KDHE form 1019: 5.25 % hypochlorite, 1 fl oz to a US gallon gives
	// 410 mg/L, which is 52,500/128; counting the ounce in it is 407.0.
	one, err := NewMix(PercentPPM(5.25), 407.0, FluidOunceL+GallonL)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "fl oz", one.StockL/FluidOunceL, 1, 2e-4)
	// Same form: 50 mg/L in 1000 gal takes 122 fl oz or 3.8 qt; 410 mg/L in 10,000
	// gal takes 10,000 fl oz or 78 gal.
	m, err := NewMix(PercentPPM(5.25), 50, 1000*GallonL)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "fl oz", m.StockL/FluidOunceL, 122, 0.5)
	near(t, "qt", m.StockL/QuartL, 3.8, 0.05)
	m, _ = NewMix(PercentPPM(5.25), 410, 10000*GallonL)
	near(t, "fl oz", m.StockL/FluidOunceL, 10000, 10)
	near(t, "gal", m.StockL/GallonL, 78, 0.5)
}

func TestParts(t *testing.T) {
	// Published chlorine dilution tables: 3.5 % to 0.5 % is 1 part and 6 parts of
	// water.
	m, err := NewMix(PercentPPM(3.5), PercentPPM(0.5), 7)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "parts", m.WaterL/m.StockL, 6, 1e-9)
	// C1 V1 = C2 V2, from memory: 5 % to 80 ppm in 40 L takes 64 mL.
	m, _ = NewMix(PercentPPM(5), 80, 40)
	near(t, "mL", m.StockL*1000, 64, 1e-9)
	if got := MetricVolume(m.StockL); got != "64 mL" {
		t.Errorf("64 mL is written %q", got)
	}
}

func TestMeasures(t *testing.T) {
	// NIST Handbook 44, appendix C: 1 gallon is 3.785411784 L and 128 fl oz; 1 fl oz
	// is 2 tablespoons, 6 teaspoons or 29.57353 mL.
	near(t, "fl oz in mL", FluidOunceL*1000, 29.57353, 5e-6)
	for _, tc := range []struct {
		l    float64
		want string
	}{{GallonL, "1 gal"}, {GallonL / 4, "1 qt"}, {FluidOunceL, "1 fl oz"}, {FluidOunceL / 2, "1 tbsp"}, {FluidOunceL / 6, "1 tsp"}} {
		if got := USVolume(tc.l); got != tc.want {
			t.Errorf("%g L is written %q, not %q", tc.l, got, tc.want)
		}
	}
}

func TestBadMixes(t *testing.T) {
	for _, bad := range [][3]float64{{80, 80000, 1}, {0, 10, 1}, {1e7, 10, 1}, {1e4, 0, 1}, {1e4, 10, 0}, {1e4, 10, -1}, {1e4, math.NaN(), 1}, {1e4, 10, math.Inf(1)}} {
		if m, err := NewMix(PPM(bad[0]), PPM(bad[1]), bad[2]); err == nil {
			t.Errorf("%v gave %+v", bad, m)
		}
	}
}
