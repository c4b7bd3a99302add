package line_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/recipes"
)

// spun takes batch 1 through the spinner.
func spun(sh *shed) {
	sh.t.Helper()
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	for range 2 {
		sh.toEnd(1)
		sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	}
	sh.toEnd(1)
	sh.do(line.Finish{At: at(linetest.Spin, 0)})
}

// dryCountdown is the countdown that batch 1, pea, gets on the rack.
func dryCountdown(sh *shed, setting string) time.Duration {
	sh.t.Helper()
	before, now := sh.s, sh.now
	defer func() { sh.s, sh.now = before, now }()
	spun(sh)
	hand := setting == recipes.FanOff
	if hand {
		setting = ""
	}
	sh.do(line.Start{Batch: 1, To: line.Anywhere, Setting: setting, ByHand: hand})
	return sh.s.Batch(1).Step.Planned
}

func TestDryTimeFollowsTheAirOnceAccepted(t *testing.T) {
	sh := openShed(t)
	r, _ := sh.s.Recipe("pea")
	sh.refused(line.UseAir{On: true}, line.RuleValue)
	sh.do(line.ReadAir{TempC: 24, RHPercent: 71})
	if got := dryCountdown(sh, ""); got != r.Dry {
		t.Errorf("the recipe's %s became %s before anybody accepted it", r.Dry, got)
	}
	sh.do(line.UseAir{Crop: "pea", On: true})
	for _, fan := range []string{"", "low", "high"} {
		today, err := r.DryToday(sh.s.Air.Air, fan)
		if err != nil {
			t.Fatal(err)
		}
		if got := dryCountdown(sh, fan); got != today.Today || got <= r.DryAt(today.Fan) {
			t.Errorf("fans %q: %s, want today's %s, in damper air than the recipe's", fan, got, today.Today)
		}
	}
	if sh.s.FollowsAir("radish", sh.now) {
		t.Error("radish follows, too")
	}
	sh.refused(line.UseAir{Crop: "pea", On: true}, line.RuleNothing)
	sh.refused(line.UseAir{Crop: "melon", On: true}, line.RuleUnknown)
	sh.do(line.UseAir{})
	if got := dryCountdown(sh, ""); got != r.Dry {
		t.Errorf("%s after going back, want %s", got, r.Dry)
	}
}

func TestRunningStepKeepsItsDryTime(t *testing.T) {
	sh := openShed(t)
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	for range 3 {
		sh.toEnd(1)
		sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	}
	sh.do(line.ReadAir{TempC: 15, RHPercent: 90})
	sh.do(line.UseAir{On: true})
	if got := sh.s.Batch(1).Step.Planned; got != 18*time.Minute {
		t.Errorf("the running step became %s", got)
	}
}

func TestAirHoldsForTheDay(t *testing.T) {
	sh := openShed(t)
	sh.do(line.ReadAir{TempC: 24, RHPercent: 71})
	sh.do(line.UseAir{On: true})
	sh.pass(20 * time.Hour) // past midnight, the day still open
	if !sh.s.FollowsAir("pea", sh.now) {
		t.Error("the reading was lost at midnight")
	}
	for id := 1; id <= 6; id++ {
		sh.do(line.Scrap{Batch: id, Reason: "hot"})
	}
	sh.do(line.CloseDay{})
	if _, ok := sh.s.AirNow(sh.now); ok {
		t.Error("yesterday's air holds on")
	}
	sh.do(line.ReadAir{TempC: 20, RHPercent: 50})
	if sh.s.FollowsAir("pea", sh.now) {
		t.Error("what was accepted yesterday holds today")
	}
}

func TestAirThatCannotBe(t *testing.T) {
	sh := openShed(t)
	for _, c := range []line.ReadAir{{20, 140}, {20, -1}, {72, 50}, {-40, 50}} {
		sh.refused(c, line.RuleValue)
	}
}

func TestDryingWithoutFans(t *testing.T) {
	sh := openShed(t)
	r, _ := sh.s.Recipe("pea")
	if got := dryCountdown(sh, recipes.FanOff); got != r.DryAt(recipes.FanOff) {
		t.Errorf("%s with a dead bank, want %s", got, r.DryAt(recipes.FanOff))
	}
}

// More humid or colder air never shortens a countdown, nor does a lower fan setting.
func TestDryCountdownIsMonotone(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		fans := []string{"high", "medium", "low"}
		temp, humid := rapid.Float64Range(-10, 50).Draw(rt, "temperature"), rapid.Float64Range(0, 100).Draw(rt, "humidity")
		worseT, worseH := rapid.Float64Range(-10, temp).Draw(rt, "colder"), rapid.Float64Range(humid, 100).Draw(rt, "more humid")
		fan := rapid.IntRange(0, 2).Draw(rt, "fan")
		slower := rapid.IntRange(fan, 2).Draw(rt, "slower fan")
		countdown := func(temp, humid float64, fan int) time.Duration {
			sh := openShed(t)
			sh.do(line.ReadAir{TempC: temp, RHPercent: humid})
			sh.do(line.UseAir{On: true})
			return dryCountdown(sh, fans[fan])
		}
		base := countdown(temp, humid, fan)
		for _, other := range []time.Duration{countdown(temp, worseH, fan), countdown(worseT, humid, fan), countdown(temp, humid, slower)} {
			if other < base {
				rt.Errorf("%.1f °C, %.0f %%, %s: %s; worse conditions give %s", temp, humid, fans[fan], base, other)
			}
		}
	})
}

func TestTrippedFansAreDead(t *testing.T) {
	sh := openShed(t)
	r, _ := sh.s.Recipe("sunflower")
	if got := sh.s.DryFan(&r); got != "high" {
		t.Errorf("fans %q, want the recipe's", got)
	}
	sh.do(line.SwitchOn{Load: linetest.Fans, Setting: 0})
	sh.do(line.Start{Batch: 1, To: line.Anywhere})
	for range 3 {
		sh.toEnd(1)
		sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	}
	if got := sh.s.DryFan(&r); got != "medium" {
		t.Errorf("fans %q, want the setting at which the bank runs for the pea", got)
	}
	sh.do(line.MarkTripped{Circuit: 1})
	if got := sh.s.DryFan(&r); got != recipes.FanOff {
		t.Errorf("fans %q behind an open breaker", got)
	}
	today, err := r.DryToday(r.WithDefaults().Reference, sh.s.DryFan(&r))
	if err != nil || len(today.Reasons) == 0 || today.Reasons[0].String() != "the fans are not running" || today.Today <= r.Dry {
		t.Errorf("%+v, %v", today, err)
	}
}
