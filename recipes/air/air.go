// Package air knows what the shed's air does to wet greens: psychrometrics of
// moist air after the Hyland-Wexler equations.
//
// Temperatures are in degrees Celsius, pressures in pascal, humidity in percent
// relative humidity over liquid water.
package air

import "fmt"

// StandardPressurePa is the standard atmosphere at sea level.
const StandardPressurePa = 101325

// State is the air of one place and hour. The zero pressure means the standard
// atmosphere, since few sheds have a barometer.
type State struct {
	TempC      float64
	RHPercent  float64
	PressurePa float64 `json:",omitempty"`
}

// Bounds of what a person may type in. They are wider than any shed in which
// greens are dried, and inside the range of the equations.
const (
	MinTempC, MaxTempC           = -10, 50
	MinPressurePa, MaxPressurePa = 60000, 110000
)

// Validate refuses air that cannot be: a humidity of 140, a temperature in
// Fahrenheit. The error says what would be right.
func (s State) Validate() error {
	switch {
	case !(s.TempC >= MinTempC && s.TempC <= MaxTempC):
		return fmt.Errorf("air temperature %g °C: give %d to %d °C", s.TempC, MinTempC, MaxTempC)
	case !(s.RHPercent >= 0 && s.RHPercent <= 100):
		return fmt.Errorf("humidity %g %%: give 0 to 100 %%", s.RHPercent)
	case s.PressurePa != 0 && !(s.PressurePa >= MinPressurePa && s.PressurePa <= MaxPressurePa):
		return fmt.Errorf("air pressure %g Pa: give %d to %d Pa, or leave it out", s.PressurePa, MinPressurePa, MaxPressurePa)
	}
	return nil
}

// String is how the air is said on a screen: "24 °C and 71 % humid".
func (s State) String() string {
	return fmt.Sprintf("%.0f °C and %.0f %% humid", s.TempC, s.RHPercent)
}
