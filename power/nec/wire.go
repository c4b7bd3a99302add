package nec

import "math"

// Ratings are the standard ampere ratings of 240.6(A), from memory.
var Ratings = []float64{10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200,
	225, 250, 300, 350, 400}

// MotorWire is what a single motor's wire has to carry, as a share of its current (430.22).
const MotorWire = 1.25

// wires are Table 310.16, copper, by AWG: amperes in the 60 and 75 C columns, and the most
// that 240.4(D) lets protect it. From memory but for 240.4(D).
var wires = []struct {
	awg            int
	at60, at75, by float64
}{
	{14, 15, 20, 15}, {12, 20, 25, 20}, {10, 30, 35, 30}, {8, 40, 50, math.Inf(1)}, {6, 55, 65, math.Inf(1)},
}

// WireMaxA is the ampacity of a copper wire at terminals for 60 C (110.14(C)), the largest
// breaker that may protect it there, and the largest with terminals for 75 C: the next
// standard size up (240.4(B)), but no more than 240.4(D) has.
func WireMaxA(awg int) (ampacity, breakerA, mostA float64, ok bool) {
	for _, w := range wires {
		if w.awg == awg {
			return w.at60, min(nextRating(w.at60), w.by), min(nextRating(w.at75), w.by), true
		}
	}
	return 0, 0, 0, false
}

func nextRating(a float64) float64 {
	for _, r := range Ratings {
		if r >= a {
			return r
		}
	}
	return a
}

// Area is the cross-section of a wire in square millimetres (ASTM B258).
func Area(awg int) float64 {
	d := 0.127 * math.Pow(92, float64(36-awg)/39)
	return math.Pi / 4 * d * d
}

// Thinner is the thickest even AWG from 18 to 6 that is no thicker than a cross-section.
func Thinner(mm2 float64) (awg int, ok bool) {
	for awg := 6; awg <= 18; awg += 2 {
		if Area(awg) <= mm2 {
			return awg, true
		}
	}
	return 0, false
}

// OhmsPerKm is the resistance of one conductor at 75 C by Chapter 9 Table 8.
func OhmsPerKm(awg int) (ohms float64, ok bool) {
	r, ok := strandedOhms[awg]
	return r * feetPerMetre, ok
}
