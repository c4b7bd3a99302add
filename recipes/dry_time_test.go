package recipes

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line/say"
)

func testRecipe() Recipe {
	return Recipe{Crop: "pea", Revision: 1, BatchTrays: 4, Soak: 3 * time.Minute, Drain: 30 * time.Second,
		Spin: 4 * time.Minute, Dry: 22 * time.Minute, Fan: FanMedium, MinSoak: 2 * time.Minute,
		YieldG: 400, PackageG: 125, SeedG: 225, DaysToHarvest: 12, LeftoverG: 15, TargetDays: 8}.WithDefaults()
}

// inWords is a day's dry time in a line.
func inWords(t DryTime) string {
	minutes := func(d time.Duration) string {
		if d%time.Minute != 0 {
			return fmt.Sprintf("%d:%02d min", d/time.Minute, d%time.Minute/time.Second)
		}
		return fmt.Sprintf("%d min", d/time.Minute)
	}
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

func TestDryToday(t *testing.T) {
	for _, c := range []struct {
		now  Air
		fan  string
		want string
	}{
		{Air{TempC: 20, RHPercent: 50}, "", "recipe 22 min, today 22 min, as the recipe says"},
		{Air{TempC: 24, RHPercent: 65}, "", "recipe 22 min, today 29:30 min, because the air is 24 °C, 65 % humidity; reference 20 °C, 50 %"},
		{Air{TempC: 20, RHPercent: 50}, FanLow, "recipe 22 min, today 28:30 min, because the fans run at low instead of medium"},
		{Air{TempC: 20, RHPercent: 50}, FanOff, "recipe 22 min, today 44 min, because the fans are not running; that is the recipe's longest, this air asks for 88 min: warm the air, dry it or set the fans higher, and taste before packing"},
		{Air{TempC: 15, RHPercent: 100}, "", "recipe 22 min, today 44 min, because the air is 15 °C, 100 % humidity; reference 20 °C, 50 %; this air does not dry them at all: warm the air, dry it or set the fans higher, and taste before packing"},
		{Air{TempC: 40, RHPercent: 10}, "", "recipe 22 min, today 11 min, because the air is 40 °C, 10 % humidity; reference 20 °C, 50 %; that is the recipe's shortest, this air asks for 6:30 min"},
		{Air{TempC: 20, RHPercent: 50}, "turbo", "recipe 22 min, today 22 min, as the recipe says"},
	} {
		got, err := testRecipe().DryToday(c.now, c.fan)
		if err != nil || inWords(got) != c.want {
			t.Errorf("got  %s %v\nwant %s", inWords(got), err, c.want)
		}
	}
	if _, err := testRecipe().DryToday(Air{TempC: 20, RHPercent: 140}, ""); err == nil {
		t.Error("a humidity of 140 was taken")
	}
}

// In the psychrometer equation the force is proportional to the wet-bulb
// depression. ASHRAE Handbook - Fundamentals 2017, chapter 1, Example 1: 40 °C
// and 20 °C wet bulb; against 30 °C and 25 °C wet bulb that is four times the
// depression, and a quarter of the time.
func TestDryTodayFollowsWetBulbDepression(t *testing.T) {
	r := testRecipe()
	r.Reference = twoThermometers(30, 25, 0)
	r.MinDry = time.Minute
	got, err := r.DryToday(twoThermometers(40, 20, 0), "")
	if want := r.Dry.Minutes() / 4; err != nil || math.Abs(got.Today.Minutes()/want-1) > 0.05 {
		t.Errorf("today %v, want about %.1f min (%v)", got.Today, want, err)
	}
}

func TestDryTodayIsMonotone(t *testing.T) {
	fans := []string{FanOff, FanLow, FanMedium, FanHigh}
	rapid.Check(t, func(t *rapid.T) {
		r := testRecipe()
		r.Fan = rapid.SampledFrom(fans[1:]).Draw(t, "own fan")
		fan := rapid.IntRange(0, 2).Draw(t, "fan")
		temp := rapid.Float64Range(MinAirC, MaxAirC).Draw(t, "temp")
		a := rapid.Float64Range(0, 100).Draw(t, "humidity")
		b := rapid.Float64Range(a, 100).Draw(t, "more humid")
		drier, err := r.DryToday(Air{TempC: temp, RHPercent: a}, fans[fan])
		if err != nil {
			t.Fatal(err)
		}
		wetter, err := r.DryToday(Air{TempC: temp, RHPercent: b}, fans[fan])
		if err != nil {
			t.Fatal(err)
		}
		if wetter.Today < drier.Today {
			t.Fatalf("more humid air shortens drying: %v, %v", drier, wetter)
		}
		faster, err := r.DryToday(Air{TempC: temp, RHPercent: a}, fans[fan+1])
		if err != nil || faster.Today > drier.Today {
			t.Fatalf("a higher fan dries longer: %v, %v %v", drier, faster, err)
		}
		for _, d := range []DryTime{drier, wetter, faster} {
			if d.Today < r.MinDry || d.Today > r.MaxDry {
				t.Fatalf("left the bounds: %v", d)
			}
		}
	})
}
