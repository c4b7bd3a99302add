package recipes

import (
	"errors"
	"math"
	"time"
)

// DryingCurve says how much wash water is on one crop's greens after the spinner and
// after the fan rack, in grams for a kilogram of greens.
//
// In the spinner the water falls exponentially from LiftedG to FloorG. On the
// rack it first evaporates at a constant rate, as from a wet cloth, and below
// CriticalG slows down as thin-layer drying does, by Lewis's law.
type DryingCurve struct {
	LiftedG   float64       // water on the greens when they are lifted and drained
	FloorG    float64       // water that no spinning removes
	SpinTau   time.Duration // time at full speed in which the rest falls to 37 %
	RatePerPa float64       // grams for a kilogram and a minute and a pascal, medium fan
	CriticalG float64       // below this water the drying slows down
}

// TypicalCurve is where a fit starts when nothing has been weighed: common practice,
// no source. No published curve for leafy greens gives these constants.
func TypicalCurve() DryingCurve {
	return DryingCurve{LiftedG: 250, FloorG: 40, SpinTau: time.Minute, RatePerPa: 0.004, CriticalG: 15}
}

// RackConditions are what a batch on the rack meets.
type RackConditions struct {
	ForcePa   float64 // Air.DryingForcePa, a vapour pressure difference
	FanFactor float64 // drying time against the medium fan setting
}

// AtFullSpeed is the spinning time that counts: the pull grows with the square
// of the speed, so a ramp that rises evenly is worth a third of itself.
func AtFullSpeed(spin, ramp time.Duration) time.Duration {
	if ramp <= 0 {
		return spin
	}
	if spin <= ramp {
		part := float64(spin) / float64(ramp)
		return time.Duration(float64(spin) * part * part / 3)
	}
	return spin - ramp + ramp/3
}

// AfterSpin is the water left after a spin that includes the machine's ramp-up.
func (c DryingCurve) AfterSpin(spin, ramp time.Duration) float64 {
	return c.FloorG + (c.LiftedG-c.FloorG)*math.Exp(-float64(AtFullSpeed(spin, ramp))/float64(c.SpinTau))
}

// AfterDry is the water left when greens with the given water have dried.
func (c DryingCurve) AfterDry(waterG float64, dry time.Duration, at RackConditions) float64 {
	if waterG <= 0 {
		return 0
	}
	return c.water(c.progress(waterG) + c.rate(at)*dry.Minutes())
}

// ErrNeverDry is returned when no time is long enough: the air is saturated or
// the target is no water at all.
var ErrNeverDry = errors.New("does not dry to the target in this air")

// DryTime is how long greens with the given water need to reach the target.
func (c DryingCurve) DryTime(waterG, targetG float64, at RackConditions) (time.Duration, error) {
	if waterG <= targetG {
		return 0, nil
	}
	minutes := c.Need(waterG, targetG) / c.rate(at)
	if math.IsNaN(minutes) || minutes > (7*24*time.Hour).Minutes() {
		return 0, ErrNeverDry
	}
	return time.Duration(minutes * float64(time.Minute)), nil
}

// Need is how much drying lies between two amounts of water, counted in grams
// at the constant rate. It is negative when the target is the wetter one.
func (c DryingCurve) Need(waterG, targetG float64) float64 {
	return c.progress(targetG) - c.progress(waterG)
}

// rate is the constant rate in grams for a kilogram and a minute.
func (c DryingCurve) rate(at RackConditions) float64 { return c.RatePerPa * at.ForcePa / at.FanFactor }

// progress places an amount of water on the drying curve: 0 at the critical
// water, negative before it. water is its inverse.
func (c DryingCurve) progress(waterG float64) float64 {
	if waterG >= c.CriticalG {
		return c.CriticalG - waterG
	}
	return c.CriticalG * math.Log(c.CriticalG/waterG)
}

func (c DryingCurve) water(progress float64) float64 {
	if progress <= 0 {
		return c.CriticalG - progress
	}
	return c.CriticalG * math.Exp(-1/c.CriticalG*progress)
}

// WithRateFrom sets the rate such that a recipe does what it promises: its spin
// and dry times leave the target water in its reference conditions.
func (c DryingCurve) WithRateFrom(spin, ramp, dry time.Duration, targetG float64, at RackConditions) DryingCurve {
	need := c.Need(c.AfterSpin(spin, ramp), math.Max(targetG, 0.5))
	if need > 0 && dry > 0 && at.ForcePa > 0 {
		c.RatePerPa = need / dry.Minutes() / at.ForcePa * at.FanFactor
	}
	return c
}
