package recipes

import (
	"strings"
	"time"

	"shedbell/line/say"
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

// todayStep is what today's dry times are rounded to.
const todayStep = 30 * time.Second

// neverDry is a time so long that the greens are lost before.
const neverDry = 7 * 24 * time.Hour

// DryTime is a dry time for the air of the day and the fans as they are.
type DryTime struct {
	Recipe    time.Duration // at the recipe's fan setting and reference air
	Today     time.Duration // what to run, inside the recipe's bounds
	Needed    time.Duration // what this air asks for, 0 when no time is enough
	Fan       string
	Air       Air
	Reference Air
	Reasons   []say.Sentence // why Today differs from Recipe
	Bound     string         // "longest" or "shortest" when a bound cut Needed, else empty
	WayOut    say.Sentence   // what helps when the longest time is not enough
}

// DryToday adjusts the dry time to today's air and to a fan setting; an empty
// setting is the recipe's own, FanOff a dead fan bank. Drying goes as fast as
// the vapour pressure difference at the wet bulb is large, so the time goes with
// its inverse. More humid air never gives a shorter time.
func (r Recipe) DryToday(now Air, fan string) (DryTime, error) {
	if err := now.Validate(); err != nil {
		return DryTime{}, err
	}
	r = r.WithDefaults()
	if fan == "" {
		fan = r.Fan
	}
	t := DryTime{Recipe: r.Dry, Today: r.Dry, Fan: fan, Air: now, Reference: r.Reference}
	atFan := r.DryAt(fan)
	needed := float64(atFan) * r.Reference.DryingForcePa() / now.DryingForcePa()
	never := !(needed < float64(neverDry))
	if !never {
		t.Needed = time.Duration(needed).Round(todayStep)
	}
	t.Today = t.Needed
	switch shortest, longest := min(r.MinDry, r.Dry), max(r.MaxDry, r.Dry); {
	case never || t.Needed > longest:
		t.Today, t.Bound = longest, "longest"
		t.WayOut = say.New("recipe.way-out")
	case t.Needed < shortest:
		t.Today, t.Bound = shortest, "shortest"
	}
	t.Reasons = reasons(t, r.Fan, atFan)
	return t, nil
}

func reasons(t DryTime, own string, atFan time.Duration) []say.Sentence {
	var out []say.Sentence
	if !strings.EqualFold(t.Fan, own) {
		switch {
		case t.Fan == FanOff:
			out = append(out, say.New("recipe.fans-off"))
		case atFan == t.Recipe:
			out = append(out, say.New("recipe.fans-unknown", say.Setting(t.Fan), say.Setting(own)))
		default:
			out = append(out, say.New("recipe.fans-at", say.Setting(t.Fan), say.Setting(own)))
		}
	}
	if drier := t.Reference.DryingForcePa() / t.Air.DryingForcePa(); drier > 1.01 || drier < 0.99 {
		out = append(out, say.New("recipe.air", t.Air, say.Celsius(t.Reference.TempC), say.Percent(t.Reference.RHPercent)))
	}
	return out
}

// scale multiplies a time and rounds it to whole seconds.
func scale(d time.Duration, factor float64) time.Duration {
	return time.Duration(float64(d) * factor).Round(time.Second)
}
