package files

import (
	"strings"

	"shedbell/line/say"
	"shedbell/power"
	"shedbell/power/nec"
)

// A machine made for another voltage than its circuit has is a slip, or a hazard.
// Supplies and plates differ by up to 15 percent (115 against 120, 208 against
// 240; common practice, no source).
const voltsApart = 0.15

const (
	leastWatts = 5
	mostWatts  = 20000
	leastHP    = 0.05
	mostHP     = 10 // the end of NEC Table 430.248
)

// circuitV is the voltage between the wires of a circuit: on a circuit of both
// legs twice what there is from one to neutral.
func circuitV(p *power.Panel, circuit int) float64 {
	if circuit >= 0 && circuit < len(p.Circuits) && p.Circuits[circuit].Leg == power.LegBoth {
		return 2 * p.VoltageV
	}
	return p.VoltageV
}

// currentKeys are the ways to say what a machine draws.
var currentKeys = []string{"amps", "watts", "hp", "settings"}

// settings reads the running current. An unknown one is a fault, never zero: a
// breaker would find out what the file kept silent.
func (c *checker) settings(path string, f *LoadEntry, circuitVolts float64) []power.Setting {
	var ways []string
	for _, key := range currentKeys {
		if c.where.Has(path + key) {
			ways = append(ways, key)
		}
	}
	if len(ways) > 1 {
		c.fault(path+ways[1], say.New("fault.are-both", ways[0], ways[1]),
			say.New("fault.keep-settings"))
		return nil
	}
	volts := c.volts(path, f, circuitVolts)
	c.belongs(path, "power_factor", "watts")
	c.belongs(path, "code_letter", "hp")
	one := func(amps float64) []power.Setting { return []power.Setting{{Name: onSetting, AmpsA: amps}} }
	switch {
	case len(ways) == 0:
		if c.missing(path+"amps") && c.missing(path+"settings") {
			c.fault(path+"amps", say.New("fault.has-no-amps", f.Name), say.New("fault.read-amps"))
		}
		return nil
	case ways[0] == "watts":
		return one(c.wattsA(path, f, volts))
	case ways[0] == "hp":
		return one(c.motorA(path, f, volts))
	case ways[0] == "settings":
		return c.switchSettings(path, f)
	}
	c.amps(path+"amps", f.Name, f.Amps)
	return one(f.Amps)
}

// belongs faults a key that only means something beside another.
func (c *checker) belongs(path, key, beside string) {
	if c.missing(path + beside) {
		c.notHere(path+key, say.New("fault.only-beside", beside), say.New("fault.remove-or-add", beside))
	}
}

// volts is the voltage on the nameplate, by default the circuit's.
func (c *checker) volts(path string, f *LoadEntry, circuitVolts float64) float64 {
	at := path + "volts"
	if !c.given(at) {
		return circuitVolts
	}
	c.number(at, f.Volts, 90, 480, "fault.unit-volts")
	if off := f.Volts/circuitVolts - 1; c.sound("voltage") && circuitVolts > 0 && (off > voltsApart || off < -voltsApart) {
		c.fault(at, say.New("fault.circuit-has", circuitVolts), say.New("fault.check-plate"))
	}
	return f.Volts
}

// wattsA turns watts taken in into amps.
func (c *checker) wattsA(path string, f *LoadEntry, volts float64) float64 {
	c.number(path+"watts", f.Watts, leastWatts, mostWatts, "fault.unit-watts")
	if c.missing(path + "power_factor") {
		c.fault(path+"power_factor", say.New("fault.watts-without"),
			say.New("fault.add-power"))
	}
	c.number(path+"power_factor", f.PowerFactor, 0.1, 1, "fault.unit-factor")
	amps, err := power.WattsA(f.Watts, volts, f.PowerFactor)
	if err != nil {
		return 0 // what is wrong has been said
	}
	if amps > mostAmpsA {
		c.fault(path+"watts", say.New("fault.makes-amps", amps), say.New("fault.give-what", mostAmpsA))
	}
	return amps
}

// motorA turns horsepower into full-load amps by NEC Table 430.248, and a code
// letter into starting amps by Table 430.7(B).
func (c *checker) motorA(path string, f *LoadEntry, volts float64) float64 {
	c.number(path+"hp", f.HP, leastHP, mostHP, "hp")
	if !c.given(path+"hp") || !c.sound(path+"volts") || volts <= 0 || c.blamed["voltage"] {
		return 0
	}
	amps, err := nec.MotorA(f.HP, volts)
	if err != nil {
		c.fault(path+"hp", say.New("fault.no-table", err), say.New("fault.read-amps-its"))
		return 0
	}
	if c.given(path + "code_letter") {
		letter := strings.ToUpper(f.CodeLetter)
		f.StartingA, err = nec.LockedRotorA(letter, f.HP, volts)
		if err != nil {
			c.fault(path+"code_letter", say.New("fault.not-code"), say.New("fault.give-letter"))
		}
	}
	return amps
}

// sound says that a key was not found wrong.
func (c *checker) sound(path string) bool { return !c.blamed[path] }
