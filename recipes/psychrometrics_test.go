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
	s := AirFromWetBulb(40, 20, StandardPressurePa)
	near(t, "humidity ratio", s.Ratio(), 0.0065, 1e-4)
	near(t, "dew point", s.DewPointC(), 7, 0.5)
	near(t, "relative humidity", s.RHPercent, 14, 1)
	near(t, "enthalpy", s.EnthalpyKJ(), 56.7, 0.1)
	near(t, "volume", s.VolumeM3(), 0.896, 0.00896)
	near(t, "wet bulb and back", s.WetBulbC(), 20, 1e-4)
}

// The same test file: values reckoned there with a spreadsheet, at the pressure
// of 500 m.
func TestHumidityRatios(t *testing.T) {
	near(t, "saturated at 25 °C", HumidityRatio(3169.7, 95461), 0.0213603998, 1e-9)
	near(t, "and back", VapourFromRatio(HumidityRatio(3169.7, 95461), 95461), 3169.7, 1e-6)
	near(t, "30 °C, wet bulb 25 °C", AirFromWetBulb(30, 25, 95461).Ratio(), 0.0192281274, 3e-4*0.0192)
	near(t, "-1 °C, wet bulb -5 °C", AirFromWetBulb(-1, -5, 95461).Ratio(), 0.00120399820, 3e-4*0.0012)
	near(t, "wet bulb over ice", AirFromWetBulb(-1, -5, 95461).WetBulbC(), -5, 0.001)
	s := Air{TempC: 30, RHPercent: 100 * VapourFromRatio(0.02, 95461) / SaturationPa(30), PressurePa: 95461}
	near(t, "enthalpy at ratio 0.02", s.EnthalpyKJ(), 81.316, 3e-4*81.3)
	near(t, "volume at ratio 0.02", s.VolumeM3(), 0.940855374, 3e-4*0.94)
	for _, c := range []struct{ tempC, ratio, tolerance float64 }{
		// Table 2 of the same chapter holds real-gas values: up to 1 % apart.
		{5, 0.005425, 0.005}, {25, 0.020173, 0.005}, {50, 0.086863, 0.01},
	} {
		near(t, "saturated", Air{TempC: c.tempC, RHPercent: 100}.Ratio(), c.ratio, c.tolerance*c.ratio)
	}
}

// Dew point: header comment of src/js/psychrolib.js of the same repository.
// Pressures: ASHRAE 2017, chapter 1, Table 1, in its test file.
func TestDewPointAndPressure(t *testing.T) {
	near(t, "dew point at 25 °C, 80 %", Air{TempC: 25, RHPercent: 80}.DewPointC(), 21.3094, 5e-4)
	for _, c := range []struct{ metres, pa float64 }{{0, 101325}, {500, 95461}, {1000, 89875}, {4000, 61640}} {
		near(t, "pressure", PressureAt(c.metres), c.pa, 1)
	}
}

// Companion values computed from the same equations in another language; from
// memory where the coefficients are concerned.
func TestCompanions(t *testing.T) {
	shed := Air{TempC: 20, RHPercent: 50}
	near(t, "dew point", shed.DewPointC(), 9.27, 0.01)
	near(t, "wet bulb", shed.WetBulbC(), 13.78, 0.01)
	near(t, "ratio", shed.Ratio(), 0.007262, 1e-6)
	near(t, "deficit", shed.DeficitPa(), 1169, 1)
	cold := Air{TempC: 4, RHPercent: 90}
	near(t, "dew point", cold.DewPointC(), 2.51, 0.01)
	near(t, "wet bulb", cold.WetBulbC(), 3.33, 0.01)
	near(t, "deficit", cold.DeficitPa(), 81, 1)
}

// In the psychrometer equation the force is the wet-bulb depression times the
// psychrometer constant, 6.6e-4 per kelvin of the pressure (WMO-No. 8, guide to
// instruments, from memory).
func TestDryingForceFollowsPsychrometerEquation(t *testing.T) {
	for _, s := range []Air{{TempC: 20, RHPercent: 50}, {TempC: 24, RHPercent: 71}, {TempC: 30, RHPercent: 30}} {
		want := 6.62e-4 * StandardPressurePa * (s.TempC - s.WetBulbC())
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
		if wb, dp := wetter.WetBulbC(), wetter.DewPointC(); dp > wb+1e-3 || wb > temp+1e-3 {
			// Over ice the dew point is a frost point, which lies above; RH is over ice there too.
			t.Fatalf("%v: dew point %g, wet bulb %g out of order", wetter, dp, wb)
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
		{75, 50, 0}:    "air temperature 75 °C: give -10 to 50 °C",
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
