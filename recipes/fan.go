package recipes

import (
	"strings"
	"time"
)

// Settings of the rack fans, slowest first.
const (
	FanOff    = "off" // a dead fan bank, too
	FanLow    = "low"
	FanMedium = "medium"
	FanHigh   = "high"
)

// fanFactors are drying times against the medium setting: starting values,
// common practice, no source. They follow the 0.8 power of air speed that
// turbulent flow gives for heat and mass transfer, with fans at about 55, 75
// and 100 percent of full speed and a tenth of that from draughts alone.
var fanFactors = map[string]float64{FanOff: 4, FanLow: 1.3, FanMedium: 1, FanHigh: 0.8}

// FanFactor is how long drying takes at a fan setting against the medium one.
// It reports false for a setting it does not know.
func FanFactor(fan string) (float64, bool) {
	f, ok := fanFactors[strings.ToLower(strings.TrimSpace(fan))]
	return f, ok
}

// DryAt is the dry time at another fan setting than the recipe's, in the
// reference air. A higher setting never takes longer. A setting that is not
// known says nothing, so the recipe's own time stands.
func (r Recipe) DryAt(fan string) time.Duration {
	from, okFrom := FanFactor(r.Fan)
	to, okTo := FanFactor(fan)
	if !okFrom || !okTo {
		return r.Dry
	}
	return scale(r.Dry, to/from)
}

// scale multiplies a time and rounds it to whole seconds.
func scale(d time.Duration, factor float64) time.Duration {
	return time.Duration(float64(d) * factor).Round(time.Second)
}
