// Package nec holds the tables of the National Electrical Code (NFPA 70) that
// the interlock and the wiring check use. The code itself is the authority;
// local amendments go before it.
package nec

import (
	"fmt"
	"shedbell/line/say"
)

// motorRow is one line of Table 430.248: full-load current in amperes of
// single-phase AC motors.
type motorRow struct {
	hp, at115, at200, at208, at230 float64
}

// Table 430.248, from a copy of the 1999 table 430-148, its 200 V column from
// sparky-hq.com; the rows above 3 hp are from memory.
var motors = [...]motorRow{
	{1. / 6, 4.4, 2.5, 2.4, 2.2},
	{1. / 4, 5.8, 3.3, 3.2, 2.9},
	{1. / 3, 7.2, 4.1, 4.0, 3.6},
	{1. / 2, 9.8, 5.6, 5.4, 4.9},
	{3. / 4, 13.8, 7.9, 7.6, 6.9},
	{1, 16, 9.2, 8.8, 8.0},
	{1.5, 20, 11.5, 11.0, 10},
	{2, 24, 13.8, 13.2, 12},
	{3, 34, 19.6, 18.7, 17},
	{5, 56, 32.2, 30.8, 28},
	{7.5, 80, 46, 44, 40},
	{10, 100, 57.5, 55, 50},
}

// MotorA is the full-load current in amperes of a single-phase motor by Table
// 430.248. A horsepower between two lines takes the larger. Volts must be in one
// of the ranges of the table: 110 to 127, 200 to 208 or 220 to 240.
func MotorA(hp, volts float64) (float64, error) {
	if !(hp > 0) {
		return 0, say.Err("panel.motor-hp", hp)
	}
	for _, m := range motors {
		if hp > m.hp*(1+1e-3) { // 0.167 and 0.33 mean the fractions
			continue
		}
		switch {
		case volts >= 110 && volts <= 127:
			return m.at115, nil
		case volts >= 200 && volts < 208:
			return m.at200, nil
		case volts == 208:
			return m.at208, nil
		case volts >= 220 && volts <= 240:
			return m.at230, nil
		}
		return 0, say.Err("panel.motor-volts", volts)
	}
	return 0, say.Err("panel.motor-most", hp)
}

// Table 430.7(B), upper end of each code letter's range in kVA per horsepower.
var lockedRotor = map[string]float64{
	"A": 3.14, "B": 3.54, "C": 3.99, "D": 4.49, "E": 4.99, "F": 5.59, "G": 6.29,
	"H": 7.09, "J": 7.99, "K": 8.99, "L": 9.99, "M": 11.19, "N": 12.49, "P": 13.99,
	"R": 15.99, "S": 17.99, "T": 19.99, "U": 22.39,
}

// LockedRotorA is the largest locked-rotor current in amperes that a single-phase motor
// with the given code letter may take, by Table 430.7(B).
func LockedRotorA(letter string, hp, volts float64) (float64, error) {
	perHP, ok := lockedRotor[letter]
	if !ok {
		return 0, fmt.Errorf("code letter %q: want A to U without I, O and Q; V has no upper end, so measure it", letter)
	}
	if !(hp > 0) || !(volts > 0) {
		return 0, fmt.Errorf("locked rotor of %g hp at %g V: want both above 0", hp, volts)
	}
	return perHP * hp * 1000 / volts, nil
}
