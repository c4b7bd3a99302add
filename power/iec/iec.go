// Package iec holds tables of IEC 60364 and of the product standards beside it that the
// wiring check of a 230 V shed uses. The standards themselves and local rules go before it.
//
// From memory, as no page with them could be read: every number here but the method B2
// worked in 2.5 mm2, and 16 A of 1.5 mm2 cord as sold with a 16 A plug.
package iec

import "math"

// Ratings are the preferred rated currents of IEC 60898-1 in amperes.
var Ratings = []float64{6, 8, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125}

// Voltage drop as a share of the supply: IEC 60364-5-52 annex G advises 5 percent where
// it is not for lighting.
const (
	Drop      = 0.05
	LightDrop = 0.03
)

// Methods are the reference methods of IEC 60364-5-52, in the order of wires' columns.
// Usual is what counts where nobody has looked: in a conduit on a wall, several cores.
var Methods = []string{"A1", "A2", "B1", "B2", "C"}

// Usual is the method that counts where none is given.
const Usual = "B2"

// wires are tables B.52.2 and B.52.4: amperes of two loaded copper conductors with PVC at
// 30 C ambient.
var wires = []struct {
	mm2 float64
	a   [5]float64
}{
	{1.5, [5]float64{14.5, 14, 17.5, 16.5, 19.5}},
	{2.5, [5]float64{19.5, 18.5, 24, 23, 27}},
	{4, [5]float64{26, 25, 32, 30, 36}},
	{6, [5]float64{34, 32, 41, 38, 46}},
	{10, [5]float64{46, 43, 57, 52, 63}},
}

// flexible are cords: amperes with a plug (HD 21 and HD 22 cords, EN 50565-1) and ohms per
// kilometre at 20 C (IEC 60228 class 5, which is a little more than fixed wire has).
var flexible = []struct{ mm2, a, ohms float64 }{
	{0.75, 6, 26.0}, {1, 10, 19.5}, {1.5, 16, 13.3}, {2.5, 25, 7.98}, {4, 32, 4.95}, {6, 0, 3.30}, {10, 0, 1.91},
}

// hot is copper at the 70 C of loaded PVC, from 20 C (0.00393 per kelvin, IEC 60028).
const hot = 1 + 0.00393*50

// WireMaxA is what a wire of at least a cross-section may carry; not ok where no table has
// it.
func WireMaxA(mm2 float64, method string) (a float64, ok bool) {
	if method == "" {
		method = Usual
	}
	for _, w := range wires {
		for k, m := range Methods {
			if m == method && w.mm2 <= mm2 {
				a, ok = w.a[k], true
			}
		}
	}
	return a, ok
}

// CordMaxA is what a flexible cord of at least a cross-section may carry.
func CordMaxA(mm2 float64) (a float64, ok bool) {
	for _, c := range flexible {
		if c.a > 0 && c.mm2 <= mm2 {
			a, ok = c.a, true
		}
	}
	return a, ok
}

// OhmsPerKm is the resistance of one conductor of at least a cross-section, warm.
func OhmsPerKm(mm2 float64) (ohms float64, ok bool) {
	ohms = math.Inf(1)
	for _, c := range flexible {
		if c.mm2 <= mm2 {
			ohms, ok = c.ohms*hot, true
		}
	}
	return ohms, ok
}

// OutletFits says whether an outlet may hang behind a breaker: rated no lower, but for the
// 13 A of BS 1363, whose plugs have a fuse of their own, up to 32 A.
func OutletFits(circuitA, outletA float64) bool {
	return outletA >= circuitA || outletA == 13 && circuitA <= 32
}
