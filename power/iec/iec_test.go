package iec

import (
	"math"
	"testing"
)

// Every cell of IEC 60364-5-52 tables B.52.2 and B.52.4 for two loaded PVC conductors, from
// memory, like the package.
func TestWires(t *testing.T) {
	for mm2, row := range map[float64][5]float64{
		1.5: {14.5, 14, 17.5, 16.5, 19.5}, 2.5: {19.5, 18.5, 24, 23, 27}, 4: {26, 25, 32, 30, 36},
		6: {34, 32, 41, 38, 46}, 10: {46, 43, 57, 52, 63},
	} {
		for k, method := range []string{"A1", "A2", "B1", "B2", "C"} {
			for _, size := range []float64{mm2, mm2 * 1.1} { // between two sizes the thinner counts
				if got, ok := WireMaxA(size, method); !ok || got != row[k] {
					t.Errorf("%v mm2 %s: %v A, want %v", size, method, got, row[k])
				}
			}
		}
		if got, _ := WireMaxA(mm2, ""); got != row[3] {
			t.Errorf("%v mm2 without a method: %v A", mm2, got)
		}
	}
	for _, c := range []struct {
		mm2    float64
		method string
	}{{1, "C"}, {2.5, "Z"}} {
		if got, ok := WireMaxA(c.mm2, c.method); ok {
			t.Errorf("%+v gives %v A", c, got)
		}
	}
}

// IEC 60228 class 5 at 20 C and cord ampacities, from memory. Copper has 17.241 ohm mm2/km
// at 20 C (IEC 60028), stranding and its tolerance up to a sixth more: a wrong figure or
// place falls out of that.
func TestCords(t *testing.T) {
	for _, c := range []struct{ mm2, a, at20 float64 }{
		{0.75, 6, 26}, {1, 10, 19.5}, {1.5, 16, 13.3}, {2.5, 25, 7.98}, {4, 32, 4.95}, {6, 32, 3.3}, {10, 32, 1.91},
	} {
		if a, ok := CordMaxA(c.mm2); !ok || a != c.a {
			t.Errorf("%v mm2: %v A", c.mm2, a)
		}
		ohms, ok := OhmsPerKm(c.mm2)
		if want := c.at20 * (234.5 + 70) / (234.5 + 20); !ok || math.Abs(ohms/want-1) > 0.001 { // copper's other form
			t.Errorf("%v mm2: %v ohm/km at 70 C, want %v", c.mm2, ohms, want)
		}
		if r := c.at20 * c.mm2 / 17.241; r < 1 || r > 1.17 {
			t.Errorf("%v mm2 has %.3g times the resistance of copper", c.mm2, r)
		}
	}
	if _, ok := CordMaxA(0.5); ok {
		t.Error("0.5 mm2 has amps")
	}
	if _, ok := OhmsPerKm(0.5); ok {
		t.Error("0.5 mm2 has ohms")
	}
}

// IEC 60898-1 preferred values, from memory, and outlets: 16 A of CEE 7 behind 16 A, 13 A
// of BS 1363 on a ring of 32 A.
func TestRatingsAndOutlets(t *testing.T) {
	want := []float64{6, 8, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125}
	for i, a := range want {
		if len(Ratings) != len(want) || Ratings[i] != a {
			t.Fatalf("%v", Ratings)
		}
	}
	for _, c := range []struct {
		circuit, outlet float64
		fits            bool
	}{{16, 16, true}, {10, 16, true}, {20, 16, false}, {32, 13, true}, {40, 13, false}, {32, 32, true}} {
		if got := OutletFits(c.circuit, c.outlet); got != c.fits {
			t.Errorf("%v A outlet behind %v A: %v", c.outlet, c.circuit, got)
		}
	}
	if Drop != 0.05 || LightDrop != 0.03 {
		t.Error("annex G has 5 and 3 percent")
	}
}
