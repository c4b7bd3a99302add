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

// conductor is one line of Chapter 9 Table 8: ohms per 1000 ft of uncoated
// copper at 75 C, direct current.
type conductor struct {
	awg             int
	solid, stranded float64
}

var conductors = [...]conductor{
	{18, 7.77, 7.95}, {16, 4.89, 4.99}, {14, 3.07, 3.14}, {12, 1.93, 1.98},
	{10, 1.21, 1.24}, {8, 0.764, 0.778}, {6, 0, 0.491},
}

const (
	feetPerMetre = 1 / 0.3048
	copperPerK   = 0.00323 // note to Table 8
)

// OhmsPerKFT is the resistance of a copper conductor in ohms per 1000 ft at the
// given temperature in degrees C, by Chapter 9 Table 8 and its note.
func OhmsPerKFT(awg int, stranded bool, tempC float64) (float64, error) {
	for _, c := range conductors {
		if c.awg != awg {
			continue
		}
		r := c.solid
		if stranded {
			r = c.stranded
		}
		if r == 0 {
			break
		}
		return r * (1 + copperPerK*(tempC-75)), nil
	}
	return 0, fmt.Errorf("AWG %d: want 18, 16, 14, 12, 10, 8, or 6 stranded", awg)
}

// DropV is the voltage lost over a two-wire run of the given one-way length in
// metres, at 75 C: 2 I R L.
func DropV(awg int, stranded bool, lengthM, ampsA float64) (float64, error) {
	r, err := OhmsPerKFT(awg, stranded, 75)
	if err != nil {
		return 0, err
	}
	return 2 * ampsA * r * lengthM * feetPerMetre / 1000, nil
}

// CordMaxA is the ampacity of a flexible cord at 30 C ambient by Table
// 400.5(A)(1): column B for two current-carrying conductors, column A for three.
// Column A and 10 AWG in column B are from memory.
func CordMaxA(awg, carrying int) (float64, error) {
	two := map[int]float64{18: 10, 17: 12, 16: 13, 14: 18, 12: 25, 10: 30}
	three := map[int]float64{18: 7, 16: 10, 14: 15, 12: 20, 10: 25}
	table := two
	if carrying > 2 {
		table = three
	}
	a, ok := table[awg]
	if !ok {
		return 0, fmt.Errorf("cord of AWG %d: want 18, 16, 14, 12 or 10", awg)
	}
	return a, nil
}
