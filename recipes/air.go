package recipes

import (
	"shedbell/line/say"
)

// StandardPressurePa is the standard atmosphere at sea level.
const StandardPressurePa = 101325

// Air is the air of one place and hour. The zero pressure means the standard
// atmosphere, since few sheds have a barometer.
type Air struct {
	TempC      float64
	RHPercent  float64
	PressurePa float64 `json:",omitempty"`
}

// Bounds of what a person may type in. They are wider than any shed in which
// greens are dried, and inside the range of the equations.
const (
	MinAirC, MaxAirC             = -10, 50
	MinPressurePa, MaxPressurePa = 60000, 110000
)

// Bounds of air that a recipe may be for.
const (
	minReferenceC, maxReferenceC   = 0, 45
	minReferenceRH, maxReferenceRH = 5, 95
)

// mayBeReference says whether a recipe may be for this air.
func (s Air) mayBeReference() bool {
	return s.Validate() == nil && s.TempC >= minReferenceC && s.TempC <= maxReferenceC &&
		s.RHPercent >= minReferenceRH && s.RHPercent <= maxReferenceRH
}

// Validate refuses air that cannot be: a humidity of 140, a temperature in
// Fahrenheit. The error says what would be right.
func (s Air) Validate() error {
	switch {
	case !(s.TempC >= MinAirC && s.TempC <= MaxAirC):
		return say.Err("air-value.temperature", say.Celsius(s.TempC), say.Celsius(MinAirC), say.Celsius(MaxAirC))
	case !(s.RHPercent >= 0 && s.RHPercent <= 100):
		return say.Err("air-value.humidity", say.Percent(s.RHPercent))
	case s.PressurePa != 0 && !(s.PressurePa >= MinPressurePa && s.PressurePa <= MaxPressurePa):
		return say.Err("air-value.pressure", s.PressurePa, MinPressurePa, MaxPressurePa)
	}
	return nil
}

// String is how the air is said on a screen: "24 °C and 71 % humid".
func (s Air) String() string { return s.Says().String() }

// Says is the air in words: 24 °C and 71 % humid.
func (a Air) Says() say.Sentence {
	return say.New("suggest.air", say.Celsius(a.TempC), say.Percent(a.RHPercent))
}
