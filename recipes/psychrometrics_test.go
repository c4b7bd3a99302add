package recipes

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.6g, want %.6g ± %.2g", what, got, want, tolerance)
	}
}

// ASHRAE Handbook - Fundamentals 2017, chapter 1, Table 3, as quoted in the
// public test file tests/test_psychrolib_si.py of the repository
// psychrometrics/psychrolib. ASHRAE claims 300 ppm.
func TestSaturationPaAgainstASHRAE(t *testing.T) {
	for _, c := range []struct{ tempC, pa float64 }{
		{-20, 103.24}, {-5, 401.74}, {5, 872.6}, {25, 3169.7}, {50, 12351.3}, {100, 101418},
	} {
		near(t, "saturation", SaturationPa(c.tempC), c.pa, 3e-4*c.pa)
	}
}

// CRC Handbook of Chemistry and Physics 1992-93, vapour pressure of water, copy
// at lcm91.tripod.com/documents/vp_H2O.htm. Its scale differs from ASHRAE's by
// up to 300 ppm.
func TestSaturationPaAgainstCRC(t *testing.T) {
	for _, c := range []struct{ tempC, pa float64 }{
		{0, 611.29}, {5, 872.60}, {10, 1228.1}, {20, 2338.8}, {25, 3169.0}, {30, 4245.5}, {40, 7381.4},
	} {
		near(t, "saturation", SaturationPa(c.tempC), c.pa, 3e-4*c.pa)
	}
}

// ASHRAE Handbook - Fundamentals 2017, chapter 1, Example 1 (40 °C dry bulb,
// 20 °C wet bulb, sea level), with the tolerances of the test file above: the
// published answers are read off a chart.
func TestExample1(t *testing.T) {
	s := twoThermometers(40, 20, StandardPressurePa)
	near(t, "humidity ratio", s.Ratio(), 0.0065, 1e-4)
	near(t, "relative humidity", s.RHPercent, 14, 1)
	near(t, "wet bulb and back", s.waterBulb(), 20, 1e-4)
}

// twoThermometers is the air that a dry and a wet thermometer show, as a sling
// psychrometer does.
func twoThermometers(tempC, wetBulbC, pressurePa float64) Air {
	s := Air{TempC: tempC, PressurePa: pressurePa}
	return withRatio(s, ratioFromWetBulb(tempC, wetBulbC, s.pressure()))
}

// withRatio is the air with a humidity ratio: the inverse of Ratio.
func withRatio(s Air, ratio float64) Air {
	s.RHPercent = 100 * s.pressure() * ratio / (molarRatio + ratio) / SaturationPa(s.TempC)
	return s
}

// The same test file: values worked out there with a spreadsheet, at the pressure
// of 500 m.
func TestHumidityRatios(t *testing.T) {
	near(t, "saturated at 25 °C", HumidityRatio(3169.7, 95461), 0.0213603998, 1e-9)
	near(t, "30 °C, wet bulb 25 °C", twoThermometers(30, 25, 95461).Ratio(), 0.0192281274, 3e-4*0.0192)
	near(t, "and back", withRatio(Air{TempC: 30, PressurePa: 95461}, 0.0192281274).waterBulb(), 25, 5e-3)
	for _, c := range []struct{ tempC, ratio, tolerance float64 }{
		// Table 2 of the same chapter holds real-gas values: up to 1 % apart.
		{5, 0.005425, 0.005}, {25, 0.020173, 0.005}, {50, 0.086863, 0.01},
	} {
		near(t, "saturated", Air{TempC: c.tempC, RHPercent: 100}.Ratio(), c.ratio, c.tolerance*c.ratio)
	}
}

// Companion values computed from the same equations in another language; from
// memory where the coefficients are concerned.
func TestCompanions(t *testing.T) {
	shed := Air{TempC: 20, RHPercent: 50}
	near(t, "wet bulb", shed.waterBulb(), 13.78, 0.01)
	near(t, "ratio", shed.Ratio(), 0.007262, 1e-6)
	near(t, "wet bulb", Air{TempC: 4, RHPercent: 90}.waterBulb(), 3.33, 0.01)
}

// In the psychrometer equation the force is the wet-bulb depression times the
// psychrometer constant, 6.6e-4 per kelvin of the pressure (WMO-No. 8, guide to
// instruments, from memory).
func TestDryingForceFollowsPsychrometerEquation(t *testing.T) {
	for _, s := range []Air{{TempC: 20, RHPercent: 50}, {TempC: 24, RHPercent: 71}, {TempC: 30, RHPercent: 30}} {
		want := 6.62e-4 * StandardPressurePa * (s.TempC - s.waterBulb())
		near(t, "force", s.DryingForcePa(), want, 0.03*want)
	}
	near(t, "saturated", Air{TempC: 20, RHPercent: 100}.DryingForcePa(), 0, 0.01)
}

func TestMoreHumidAirDriesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temp := rapid.Float64Range(MinAirC, MaxAirC).Draw(t, "temp")
		pressure := rapid.Float64Range(MinPressurePa, MaxPressurePa).Draw(t, "pressure")
		a := rapid.Float64Range(0, 100).Draw(t, "a")
		b := rapid.Float64Range(a, 100).Draw(t, "b")
		drier, wetter := Air{temp, a, pressure}, Air{temp, b, pressure}
		// The wet bulb is found to a millionth of a degree, or 1e-4 Pa.
		if wetter.DryingForcePa() > drier.DryingForcePa()+1e-3 {
			t.Fatalf("%v: %g Pa, but %v: %g Pa", wetter, wetter.DryingForcePa(), drier, drier.DryingForcePa())
		}
		if wb := wetter.waterBulb(); wb > temp+1e-3 {
			t.Fatalf("%v: wet bulb %g above the dry one", wetter, wb)
		}
	})
}

func TestValidate(t *testing.T) {
	for _, s := range []Air{{20, 50, 0}, {-10, 0, 0}, {50, 100, 95461}} {
		if err := s.Validate(); err != nil {
			t.Errorf("%v refused: %v", s, err)
		}
	}
	for s, want := range map[Air]string{
		{20, 140, 0}:   "humidity 140 %: give 0 to 100 %",
		{20, -1, 0}:    "humidity -1 %: give 0 to 100 %",
		{75, 50, 0}:    "air temperature 75.0 °C: give -10 °C to 50 °C",
		{20, 50, 1013}: "air pressure 1013 Pa: give 60000 to 110000 Pa, or leave it out",
	} {
		if err := s.Validate(); err == nil || err.Error() != want {
			t.Errorf("%v: %v, want %s", s, err, want)
		}
	}
	for _, s := range []Air{{math.NaN(), 50, 0}, {20, math.NaN(), 0}, {20, math.Inf(1), 0}, {20, 50, math.NaN()}} {
		if s.Validate() == nil {
			t.Errorf("%v accepted", s)
		}
	}
}

func BenchmarkDryingForce(b *testing.B) {
	s := Air{TempC: 24, RHPercent: 71}
	for b.Loop() {
		s.DryingForcePa()
	}
}
