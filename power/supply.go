package power

import (
	"fmt"
	"time"

	"shedbell/power/nec"
)

// SupplyKind is the stated supply, or what the volts and legs amount to.
func (p *Panel) SupplyKind() Supply {
	if p.Supply != SupplyUnstated {
		return p.Supply
	}
	for i := range p.Circuits {
		if p.Circuits[i].Leg != LegNone {
			return Split240
		}
	}
	if p.VoltageV > 180 {
		return Single230
	}
	return Single120
}

// Nameplate is what a machine says about itself when it does not give amperes:
// either watts with a power factor, or the horsepower of a motor.
type Nameplate struct {
	Watts       float64
	PowerFactor float64 // 0 means 1: a heater or a lamp
	Horsepower  float64
	CodeLetter  string        // NEC locked-rotor code letter; empty when the plate has none
	StartTime   time.Duration // 0 takes the usual
}

// Where the plate does not say: a single-phase motor takes about six times its
// running current to start, for about 0.6 s (common practice, no source).
const (
	usualStartFactor = 6
	usualStartTime   = 600 * time.Millisecond
)

// WattsA is the current in amperes of a load of that power at a voltage and power
// factor: P / (V pf).
func WattsA(watts, volts, powerFactor float64) (float64, error) {
	if powerFactor == 0 {
		powerFactor = 1
	}
	if !(watts > 0) || !(volts > 0) || !(powerFactor > 0 && powerFactor <= 1) {
		return 0, fmt.Errorf("%g W at %g V with power factor %g: want positive watts and volts and a factor from 0 to 1",
			watts, volts, powerFactor)
	}
	return watts / (volts * powerFactor), nil
}

// FromNameplate turns a nameplate into running and starting amperes on a circuit.
// Starting amperes are 0 for a load without a motor.
func (p *Panel) FromNameplate(circuit int, n Nameplate) (ampsA, startingA float64, startingTime time.Duration, err error) {
	volts := p.CircuitV(circuit)
	if n.Horsepower == 0 {
		ampsA, err = WattsA(n.Watts, volts, n.PowerFactor)
		return ampsA, 0, 0, err
	}
	ampsA, err = nec.MotorA(n.Horsepower, volts)
	if err != nil {
		return 0, 0, 0, err
	}
	startingA = usualStartFactor * ampsA
	if n.CodeLetter != "" {
		startingA, err = nec.LockedRotorA(n.CodeLetter, n.Horsepower, volts, 1)
	}
	startingTime = n.StartTime
	if startingTime == 0 {
		startingTime = usualStartTime
	}
	return ampsA, startingA, startingTime, err
}
