package nec

import "fmt"

// ContinuousFactor is what a continuous load counts for, and ContinuousHours the
// time from which a load is continuous (Article 100, 210.19(A)(1), 210.20(A)).
const (
	ContinuousFactor = 1.25
	ContinuousHours  = 3
)

// Shares of a branch circuit's rating (210.23(A)): one cord-and-plug load, and
// all equipment fastened in place beside other loads.
const (
	CordAndPlugShare = 0.80
	FixedShare       = 0.50
)

// Voltage drop that 210.19(A)'s informational note advises not to exceed to the
// farthest outlet, as a share of the supply.
const BranchDrop = 0.03

// ReceptacleMaxA is the largest cord-and-plug load in amperes by Table
// 210.21(B)(2), the same as OSHA 29 CFR 1910.304 Table S-4; 0 when the table
// does not list the pair.
func ReceptacleMaxA(circuitA, receptacleA float64) float64 {
	switch {
	case (circuitA == 15 || circuitA == 20) && receptacleA == 15:
		return 12
	case circuitA == 20 && receptacleA == 20:
		return 16
	case circuitA == 30 && receptacleA == 30:
		return 24
	}
	return 0
}

// ReceptacleFits says whether Table 210.21(B)(3) lets a receptacle hang on a
// circuit that feeds several, the same as OSHA Table S-5.
func ReceptacleFits(circuitA, receptacleA float64) bool {
	switch circuitA {
	case 15:
		return receptacleA <= 15
	case 20:
		return receptacleA == 15 || receptacleA == 20
	case 30:
		return receptacleA == 30
	case 40:
		return receptacleA == 40 || receptacleA == 50
	case 50:
		return receptacleA == 50
	}
	return true
}

// strandedOhms is Chapter 9 Table 8 for the sizes of cords and of the wires of small circuits: ohms per 1000 ft of
// uncoated stranded copper at 75 C, direct current, by AWG.
var strandedOhms = map[int]float64{18: 7.95, 16: 4.99, 14: 3.14, 12: 1.98, 10: 1.24, 8: 0.778, 6: 0.491}

const feetPerMetre = 1 / 0.3048

// DropV is the voltage lost over a cord of the given length in metres, at 75 C: 2 I R L.
func DropV(awg int, lengthM, ampsA float64) (float64, error) {
	r, ok := strandedOhms[awg]
	if !ok {
		return 0, fmt.Errorf("AWG %d: want 18, 16, 14, 12 or 10", awg)
	}
	return 2 * ampsA * r * lengthM * feetPerMetre / 1000, nil
}

// cordA is Table 400.5(A)(1), column B, by AWG: amperes of a flexible cord with two
// current-carrying conductors at 30 C ambient. 10 AWG is from memory.
var cordA = map[int]float64{18: 10, 17: 12, 16: 13, 14: 18, 12: 25, 10: 30}

// CordMaxA is the ampacity of a flexible cord by Table 400.5(A)(1).
func CordMaxA(awg int) (float64, error) {
	a, ok := cordA[awg]
	if !ok {
		return 0, fmt.Errorf("cord of AWG %d: want 18, 17, 16, 14, 12 or 10", awg)
	}
	return a, nil
}
