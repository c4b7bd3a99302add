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
		letter          string
		hp, volts, want float64
	}{
		{"G", 20, 460, 157.9 * math.Sqrt(3)}, // worked for three phases at electriciantalk.com "430.7 (b)"
		{"L", 0.5, 115, 43.4},                // upper ends computed from the table
		{"K", 0.5, 115, 39.1},
		{"K", 1, 115, 78.2},
	} {
		got, err := LockedRotorA(c.letter, c.hp, c.volts)
		if err != nil || math.Abs(got-c.want) > 0.1 {
			t.Errorf("%s, %v hp, %v V: %v, %v, want %v", c.letter, c.hp, c.volts, got, err, c.want)
		}
	}
	for _, letter := range []string{"I", "O", "Q", "V", "", "a"} {
		if got, err := LockedRotorA(letter, 1, 115); err == nil {
			t.Errorf("letter %q gives %v", letter, got)
		}
	}
}

// NEC Chapter 9 Table 8, ohms per 1000 ft of stranded uncoated copper at 75 C: drops
// computed from them as 2 I R L / 1000 for 16 A over 50 ft one way.
func TestVoltageDrop(t *testing.T) {
	for awg, ohms := range map[int]float64{18: 7.95, 16: 4.99, 14: 3.14, 12: 1.98, 10: 1.24} {
		got, err := DropV(awg, 50*0.3048, 16)
		if want := 2 * 16 * ohms * 50 / 1000; err != nil || math.Abs(got-want) > 1e-9 {
			t.Errorf("AWG %d: %v V, %v, want %v", awg, got, err, want)
		}
	}
	if _, err := DropV(13, 1, 1); err == nil {
		t.Error("AWG 13 accepted")
	}
}

// The same copper is in two published tables: a stranded conductor of Table 8 at 75 C,
// brought to 20 C by the table's note (0.00323 per kelvin), has the ohms of a wire table
// at 20 C (cirris.com, from memory) within three percent, which stranding adds.
func TestResistanceAt20C(t *testing.T) {
	for awg, want := range map[int]float64{14: 2.525, 12: 1.588} {
		drop, err := DropV(awg, 1000*0.3048, 0.5)
		if got := drop * (1 + 0.00323*(20-75)); err != nil || math.Abs(got/want-1) > 0.03 {
			t.Errorf("AWG %d at 20 C: %v, %v, want %v", awg, got, err, want)
		}
	}
}

// NEC Table 400.5(A)(1) column B as quoted in a UL appliance standard; 10 AWG from
// memory.
func TestCordAmpacity(t *testing.T) {
	for awg, want := range map[int]float64{18: 10, 17: 12, 16: 13, 14: 18, 12: 25, 10: 30} {
		if got, err := CordMaxA(awg); err != nil || got != want {
			t.Errorf("AWG %d: %v, %v, want %v", awg, got, err, want)
		}
	}
	if _, err := CordMaxA(20); err == nil {
		t.Error("AWG 20 accepted")
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

// Every cell of Table 430.248. 115 V and 200 V: paigewire.com/resources/430-148 and
// sparky-hq.com, above 3 hp from memory. The table's rule makes the others of the first:
// 208 V is 115/208 of it, 230 V half of it, rounded to what the table prints.
func TestMotorTableWhole(t *testing.T) {
	for _, m := range []struct{ hp, at115, at200 float64 }{
		{1. / 6, 4.4, 2.5}, {1. / 4, 5.8, 3.3}, {1. / 3, 7.2, 4.1}, {1. / 2, 9.8, 5.6}, {3. / 4, 13.8, 7.9}, {1, 16, 9.2},
		{1.5, 20, 11.5}, {2, 24, 13.8}, {3, 34, 19.6}, {5, 56, 32.2}, {7.5, 80, 46}, {10, 100, 57.5},
	} {
		for _, c := range []struct{ volts, want, within float64 }{
			{115, m.at115, 0}, {120, m.at115, 0}, {200, m.at200, 0}, {207, m.at200, 0},
			{208, m.at115 * 115 / 208, 0.012 * m.at115}, {230, m.at115 / 2, 0}, {240, m.at115 / 2, 0},
		} {
			got, err := MotorA(m.hp, c.volts)
			if err != nil || math.Abs(got-c.want) > c.within+1e-9 {
				t.Errorf("%.3g hp at %v V: %v A, want %v (%v)", m.hp, c.volts, got, c.want, err)
			}
		}
	}
}

// Every end of a range of Table 430.7(B): engineeringtoolbox.com/locked-rotor-code-d_917.html,
// which prints B as 3.55; a second copy has 3.54.
func TestCodeLettersWhole(t *testing.T) {
	ends := []float64{3.14, 3.54, 3.99, 4.49, 4.99, 5.59, 6.29, 7.09, 7.99, 8.99, 9.99, 11.19, 12.49, 13.99, 15.99, 17.99, 19.99, 22.39}
	for i, letter := range []string{"A", "B", "C", "D", "E", "F", "G", "H", "J", "K", "L", "M", "N", "P", "R", "S", "T", "U"} {
		got, err := LockedRotorA(letter, 1, 100)
		if want := ends[i] * 1000 / 100; err != nil || math.Abs(got-want) > 1e-9*want {
			t.Errorf("letter %s, 1 hp at 100 V: %v A, want %v (%v)", letter, got, want, err)
		}
	}
}
