package nec

import (
	"math"
	"testing"
)

// NEC Table 430.248 (430-148 in the 1999 copy at paigewire.com/resources/430-148).
func TestMotorFullLoad(t *testing.T) {
	for _, c := range []struct{ hp, volts, want float64 }{
		{1. / 6, 115, 4.4}, {0.25, 115, 5.8}, {1. / 3, 115, 7.2}, {0.5, 115, 9.8}, {0.75, 115, 13.8},
		{1, 115, 16}, {1.5, 115, 20}, {2, 115, 24}, {3, 115, 34},
		{0.5, 208, 5.4}, {1.5, 208, 11}, {3, 208, 18.7},
		{1. / 6, 230, 2.2}, {0.5, 230, 4.9}, {1, 230, 8}, {3, 230, 17},
		{1, 120, 16}, {1, 240, 8}, // the columns apply to 110-120 and 220-240 V systems
		{0.6, 115, 13.8}, // between two lines: the larger
	} {
		got, err := MotorA(c.hp, c.volts)
		if err != nil || got != c.want {
			t.Errorf("%v hp at %v V: %v, %v, want %v", c.hp, c.volts, got, err, c.want)
		}
	}
	for _, c := range [][2]float64{{0, 115}, {-1, 115}, {math.NaN(), 115}, {11, 115}, {1, 150}} {
		if got, err := MotorA(c[0], c[1]); err == nil {
			t.Errorf("%v hp at %v V gives %v", c[0], c[1], got)
		}
	}
}

// NEC Table 430.7(B); ranges at engineeringtoolbox.com/locked-rotor-code-d_917.html.
func TestLockedRotor(t *testing.T) {
	for _, c := range []struct {
		letter    string
		hp, volts float64
		phases    int
		want, tol float64
	}{
		{"G", 20, 460, 3, 157.9, 0.05}, // worked at electriciantalk.com "430.7 (b)"
		{"L", 0.5, 115, 1, 43.4, 0.05}, // upper ends computed from the table
		{"K", 0.5, 115, 1, 39.1, 0.05},
		{"K", 1, 115, 1, 78.2, 0.05},
	} {
		got, err := LockedRotorA(c.letter, c.hp, c.volts, c.phases)
		if err != nil || math.Abs(got-c.want) > c.tol {
			t.Errorf("%s, %v hp, %v V: %v, %v, want %v", c.letter, c.hp, c.volts, got, err, c.want)
		}
	}
	for _, letter := range []string{"I", "O", "Q", "V", "", "a"} {
		if got, err := LockedRotorA(letter, 1, 115, 1); err == nil {
			t.Errorf("letter %q gives %v", letter, got)
		}
	}
}

// NEC Chapter 9 Table 8, drops computed from it as 2 I R L / 1000 at 120 V and
// 16 A over 50 and 100 ft one way.
func TestVoltageDrop(t *testing.T) {
	for _, c := range []struct {
		awg        int
		feet, want float64
	}{
		{14, 50, 4.91}, {12, 50, 3.09}, {10, 50, 1.94}, {14, 100, 9.82}, {12, 100, 6.18}, {10, 100, 3.87},
	} {
		got, err := DropV(c.awg, false, c.feet*0.3048, 16)
		if err != nil || math.Abs(got-c.want) > 0.006 {
			t.Errorf("AWG %d, %v ft: %v V, %v, want %v", c.awg, c.feet, got, err, c.want)
		}
	}
	if _, err := DropV(13, false, 1, 1); err == nil {
		t.Error("AWG 13 accepted")
	}
}

// The temperature note of Table 8 against resistances at 20 C (cirris.com wire
// table, 20 C from memory): the same copper within half a percent.
func TestResistanceAt20C(t *testing.T) {
	for awg, want := range map[int]float64{14: 2.525, 12: 1.588} {
		got, err := OhmsPerKFT(awg, false, 20)
		if err != nil || math.Abs(got/want-1) > 0.005 {
			t.Errorf("AWG %d at 20 C: %v, %v, want %v", awg, got, err, want)
		}
	}
}

// NEC Table 400.5(A)(1) column B as quoted in a UL appliance standard; 10 AWG
// and column A from memory.
func TestCordAmpacity(t *testing.T) {
	for _, c := range []struct {
		awg, carrying int
		want          float64
	}{
		{18, 2, 10}, {17, 2, 12}, {16, 2, 13}, {14, 2, 18}, {12, 2, 25}, {10, 2, 30},
		{18, 3, 7}, {16, 3, 10}, {14, 3, 15}, {12, 3, 20}, {10, 3, 25},
	} {
		if got, err := CordMaxA(c.awg, c.carrying); err != nil || got != c.want {
			t.Errorf("AWG %d, %d carrying: %v, %v, want %v", c.awg, c.carrying, got, err, c.want)
		}
	}
}

// NEC Tables 210.21(B)(2) and (B)(3) = OSHA 29 CFR 1910.304 Tables S-4 and S-5,
// as reproduced in WAC 296-24-95705.
func TestReceptacles(t *testing.T) {
	for _, c := range [][3]float64{{15, 15, 12}, {20, 15, 12}, {20, 20, 16}, {30, 30, 24}, {40, 50, 0}} {
		if got := ReceptacleMaxA(c[0], c[1]); got != c[2] {
			t.Errorf("%v A receptacle on %v A: %v, want %v", c[1], c[0], got, c[2])
		}
	}
	for _, c := range []struct {
		circuit, receptacle float64
		fits                bool
	}{{15, 15, true}, {15, 20, false}, {20, 15, true}, {20, 20, true}, {20, 30, false}, {30, 30, true},
		{30, 20, false}, {40, 50, true}, {50, 50, true}, {50, 40, false}} {
		if got := ReceptacleFits(c.circuit, c.receptacle); got != c.fits {
			t.Errorf("%v A receptacle on %v A: %v", c.receptacle, c.circuit, got)
		}
	}
}
