package power

import "fmt"

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

// WattsA is the current in amperes of a load of that power at a voltage and power
// factor: P / (V pf). The factor of a heater or a lamp is 1. What cannot be is an error.
func WattsA(watts, volts, powerFactor float64) (float64, error) {
	if !(watts > 0) || !(volts > 0) || !(powerFactor > 0 && powerFactor <= 1) {
		return 0, fmt.Errorf("%g W at %g V with power factor %g: want positive watts and volts and a factor above 0, up to 1",
			watts, volts, powerFactor)
	}
	return watts / (volts * powerFactor), nil
}
