package recipes

import (
	"fmt"
	"strings"
	"time"

	"shedbell/line/say"
)

// todayStep is what today's dry times are rounded to.
const todayStep = 30 * time.Second

// neverDry is a time so long that the greens are lost before.
const neverDry = 7 * 24 * time.Hour

// Today is a dry time for the air of the day and the fans as they are.
type Today struct {
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
func (r Recipe) DryToday(now Air, fan string) (Today, error) {
	if err := now.Validate(); err != nil {
		return Today{}, err
	}
	r = r.WithDefaults()
	if fan == "" {
		fan = r.Fan
	}
	t := Today{Recipe: r.Dry, Today: r.Dry, Fan: fan, Air: now, Reference: r.Reference}
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
		t.WayOut = say.New("warm the air, dry it or set the fans higher, and taste before packing")
	case t.Needed < shortest:
		t.Today, t.Bound = shortest, "shortest"
	}
	t.Reasons = reasons(t, r.Fan, atFan)
	return t, nil
}

func reasons(t Today, own string, atFan time.Duration) []say.Sentence {
	var out []say.Sentence
	if !strings.EqualFold(t.Fan, own) {
		switch {
		case t.Fan == FanOff:
			out = append(out, say.New("the fans do not run"))
		case atFan == t.Recipe:
			out = append(out, say.New("the fans run at %s, which is not known to differ from %s", t.Fan, own))
		default:
			out = append(out, say.New("the fans run at %s instead of %s", t.Fan, own))
		}
	}
	if drier := t.Reference.DryingForcePa() / t.Air.DryingForcePa(); drier > 1.01 || drier < 0.99 {
		out = append(out, say.New("the air is %s; reference %.0f °C, %.0f %%", t.Air, t.Reference.TempC, t.Reference.RHPercent))
	}
	return out
}

// String is the sentence for the board: "recipe 22 min, today 29 min, because
// the air is 24 °C and 71 % humid; reference 20 °C, 50 %".
func (t Today) String() string {
	s := fmt.Sprintf("recipe %s, today %s", minutes(t.Recipe), minutes(t.Today))
	if t.Today == t.Recipe && t.Bound == "" {
		return s + ", as the recipe says"
	}
	if len(t.Reasons) > 0 {
		s += ", because " + say.Join(t.Reasons, " and ").String()
	}
	switch {
	case t.Bound == "longest" && t.Needed == 0:
		s += "; this air does not dry them at all: " + t.WayOut.String()
	case t.Bound == "longest":
		s += fmt.Sprintf("; that is the recipe's longest, this air asks for %s: %s", minutes(t.Needed), t.WayOut)
	case t.Bound == "shortest":
		s += fmt.Sprintf("; that is the recipe's shortest, this air asks for %s", minutes(t.Needed))
	}
	return s
}

// minutes writes a time the way it is said: "22 min", "22:30 min".
func minutes(d time.Duration) string {
	if s := int(d.Round(time.Second).Seconds()); s%60 != 0 {
		return fmt.Sprintf("%d:%02d min", s/60, s%60)
	}
	return fmt.Sprintf("%d min", int(d.Minutes()))
}

// clock writes a time as the countdown shows it: "3:30".
func clock(d time.Duration) string {
	s := int(d.Round(time.Second).Seconds())
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// conditions are what a batch met on the rack; air and fan that are not known
// are taken to be the recipe's own.
func (r *Recipe) conditions(a Air, fan string) RackConditions {
	if a == (Air{}) {
		a = r.Reference
	}
	factor, ok := FanFactor(fan)
	if !ok {
		if factor, ok = FanFactor(r.Fan); !ok {
			factor = 1
		}
	}
	return RackConditions{ForcePa: a.DryingForcePa(), FanFactor: factor}
}
