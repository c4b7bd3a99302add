package recipes

import "math"

const (
	kelvin = 273.15
	// molarRatio is the molar mass of water against that of dry air.
	molarRatio = 0.621945
)

// SaturationPa is the pressure of water vapour over water, or over ice below
// 0 °C, in pascal: the Hyland-Wexler equations as the ASHRAE Handbook -
// Fundamentals gives them (chapter 1, equations 5 and 6). ASHRAE states an error
// of up to 300 ppm from -100 to 200 °C.
func SaturationPa(tempC float64) float64 {
	if tempC < 0 {
		return overIce(tempC)
	}
	return overWater(tempC)
}

func overIce(tempC float64) float64 {
	t := tempC + kelvin
	return math.Exp(-5.6745359e3/t + 6.3925247 + t*(-9.6778430e-3+t*(6.2215701e-7+t*(2.0747825e-9-9.4840240e-13*t))) +
		4.1635019*math.Log(t))
}

func overWater(tempC float64) float64 {
	t := tempC + kelvin
	return math.Exp(-5.8002206e3/t + 1.3914993 + t*(-4.8640239e-2+t*(4.1764768e-5-1.4452093e-8*t)) +
		6.5459673*math.Log(t))
}

// HumidityRatio is the mass of water vapour for a mass of dry air.
func HumidityRatio(vapourPa, pressurePa float64) float64 {
	return molarRatio * vapourPa / (pressurePa - vapourPa)
}

// ratioFromWetBulb is ASHRAE's equation 33 solved for the humidity ratio.
func ratioFromWetBulb(tempC, wetBulbC, pressurePa float64) float64 {
	sat := HumidityRatio(overWater(wetBulbC), pressurePa)
	return ((2501-2.326*wetBulbC)*sat - 1.006*(tempC-wetBulbC)) / (2501 + 1.86*tempC - 4.186*wetBulbC)
}

func (s Air) pressure() float64 {
	if s.PressurePa == 0 {
		return StandardPressurePa
	}
	return s.PressurePa
}

// VapourPa is the pressure of the water vapour in the air.
func (s Air) VapourPa() float64 { return SaturationPa(s.TempC) * s.RHPercent / 100 }

// Ratio is the humidity ratio, kilograms of vapour for a kilogram of dry air.
func (s Air) Ratio() float64 { return HumidityRatio(s.VapourPa(), s.pressure()) }

// waterBulb is what a wet thermometer in moving air settles at while its water has not
// frozen.
func (s Air) waterBulb() float64 {
	ratio := s.Ratio()
	return risingRoot(s.TempC-60, s.TempC, func(t float64) float64 { return ratioFromWetBulb(s.TempC, t, s.pressure()) - ratio })
}

// DryingForcePa is what drives water off a wet leaf: the vapour pressure at the
// leaf, which is at the wet-bulb temperature, less that of the air. It is 0 in
// saturated air, and falls whenever the air gets more humid. The water on the
// leaf is taken to stay liquid, as it must on greens that will be sold.
func (s Air) DryingForcePa() float64 {
	return max(overWater(s.waterBulb())-s.VapourPa(), 0)
}

// risingRoot finds where a rising function crosses zero, to a ten-millionth of a
// degree, by false position in the Illinois variant, which keeps the crossing
// between its two ends.
func risingRoot(low, high float64, f func(float64) float64) float64 {
	atLow, atHigh := f(low), f(high)
	if atLow >= 0 {
		return low
	}
	if atHigh <= 0 {
		return high
	}
	x, side := low, 0
	for high-low > 1e-7 {
		before := x
		x = (low*atHigh - high*atLow) / (atHigh - atLow)
		switch y := f(x); {
		case y < 0:
			low, atLow = x, y
			if side < 0 {
				atHigh /= 2
			}
			side = -1
		default:
			high, atHigh = x, y
			if side > 0 {
				atLow /= 2
			}
			side = 1
		}
		if math.Abs(x-before) < 1e-8 {
			break
		}
	}
	return x
}
