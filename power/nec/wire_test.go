package nec

import (
	"math"
	"testing"
)

// 310.16 copper 60 and 75 C, from memory (14 to 6 AWG). 240.4(D): 14 AWG 15 A, 12 20 A,
// 10 30 A (diy.stackexchange.com 169297). 240.4(B) and 240.6(A): the next size above 40, 50,
// 55 and 65 A is 40, 50, 60 and 70 A.
func TestWires(t *testing.T) {
	for awg, want := range map[int][3]float64{14: {15, 15, 15}, 12: {20, 20, 20}, 10: {30, 30, 30}, 8: {40, 40, 50}, 6: {55, 60, 70}} {
		a, by, most, ok := WireMaxA(awg)
		if !ok || a != want[0] || by != want[1] || most != want[2] {
			t.Errorf("AWG %d: %v A by %v or %v A, want %v", awg, a, by, most, want)
		}
	}
	if _, _, _, ok := WireMaxA(16); ok {
		t.Error("AWG 16 is no wire of a branch circuit")
	}
	if MotorWire != 1.25 { // field-pm.com chart of 430.22
		t.Error("430.22 has 125 percent")
	}
}

// 240.6(A), from memory: 17 and 16 A are not among them.
func TestRatings(t *testing.T) {
	want := []float64{10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400}
	for i, a := range want {
		if len(Ratings) != len(want) || Ratings[i] != a {
			t.Fatalf("%v", Ratings)
		}
	}
}

// ASTM B258 areas; Chapter 9 Table 8 has them as circular mils: 1620, 2580, 4110, 6530,
// 10380, 16510 and 26240, each 5.067e-4 mm2.
func TestAreas(t *testing.T) {
	for awg, cmil := range map[int]float64{18: 1620, 16: 2580, 14: 4110, 12: 6530, 10: 10380, 8: 16510, 6: 26240} {
		want := cmil * 5.0671e-4
		if got := Area(awg); math.Abs(got/want-1) > 0.005 {
			t.Errorf("AWG %d: %v mm2, want %v", awg, got, want)
		}
		if got, ok := Thinner(want * 1.01); !ok || got != awg {
			t.Errorf("%v mm2 counts as AWG %d, want %d", want, got, awg)
		}
	}
	if _, ok := Thinner(0.75); ok {
		t.Error("0.75 mm2 is thinner than AWG 18")
	}
}

// Chapter 9 Table 8, 7-strand at 75 C (g-wonlinetextbooks.com/modern-commercial-wiring-2018/101),
// in ohms per 1000 ft, which is 0.3048 km.
func TestOhmsWhole(t *testing.T) {
	for awg, perKft := range map[int]float64{18: 7.95, 16: 4.99, 14: 3.14, 12: 1.98, 10: 1.24, 8: 0.778, 6: 0.491} {
		if got, ok := OhmsPerKm(awg); !ok || math.Abs(got-perKft/0.3048) > 1e-9 {
			t.Errorf("AWG %d: %v", awg, got)
		}
	}
	if len(strandedOhms) != 7 {
		t.Errorf("%d rows", len(strandedOhms))
	}
}
