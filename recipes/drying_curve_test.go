package recipes

import (
	"errors"
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// A ramp that rises evenly gives the integral of the square of the speed, from
// 0 to 1: a third (elementary calculus).
func TestAtFullSpeed(t *testing.T) {
	for _, c := range []struct{ spin, ramp, want time.Duration }{
		{4 * time.Minute, 0, 4 * time.Minute},
		{4 * time.Minute, 30 * time.Second, 220 * time.Second},
		{30 * time.Second, 30 * time.Second, 10 * time.Second},
		{15 * time.Second, 30 * time.Second, 1250 * time.Millisecond},
		{0, 30 * time.Second, 0},
	} {
		if got := AtFullSpeed(c.spin, c.ramp); got != c.want {
			t.Errorf("spin %v ramp %v: %v, want %v", c.spin, c.ramp, got, c.want)
		}
	}
}

func drawConstants(t *rapid.T) DryingCurve {
	floor := rapid.Float64Range(1, 60).Draw(t, "floor")
	return DryingCurve{
		FloorG: floor, LiftedG: floor + rapid.Float64Range(10, 400).Draw(t, "excess"),
		SpinTau:   time.Duration(rapid.Float64Range(10, 200).Draw(t, "tau") * float64(time.Second)),
		RatePerPa: rapid.Float64Range(0.001, 0.05).Draw(t, "rate"),
		CriticalG: rapid.Float64Range(2, 60).Draw(t, "critical"),
	}
}

// More of anything that dries never leaves more water, and DryTime finds the
// time that AfterDry needs.
func TestDryingIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawConstants(t)
		at := RackConditions{ForcePa: rapid.Float64Range(1, 2000).Draw(t, "force"), FanFactor: rapid.Float64Range(0.5, 4).Draw(t, "fan")}
		wet := rapid.Float64Range(1, 300).Draw(t, "wet")
		a := time.Duration(rapid.Int64Range(0, int64(time.Hour)).Draw(t, "a"))
		b := a + time.Duration(rapid.Int64Range(0, int64(time.Hour)).Draw(t, "b"))
		if c.AfterSpin(b, 20*time.Second) > c.AfterSpin(a, 20*time.Second)+1e-9 {
			t.Fatal("a longer spin leaves more water")
		}
		dried := c.AfterDry(wet, b, at)
		if dried > c.AfterDry(wet, a, at)+1e-9 || dried > wet+1e-9 || dried < 0 {
			t.Fatal("longer drying leaves more water")
		}
		if c.AfterDry(wet+5, b, at) < dried-1e-9 {
			t.Fatal("wetter greens end drier")
		}
		more := at
		more.ForcePa *= 1.1
		if c.AfterDry(wet, b, more) > dried+1e-9 {
			t.Fatal("drier air leaves more water")
		}
		target := wet * rapid.Float64Range(0.05, 1).Draw(t, "target")
		d, err := c.DryTime(wet, target, at)
		if err == nil && math.Abs(c.AfterDry(wet, d, at)-target) > 1e-3+1e-4*target {
			t.Fatalf("after %v there are %g g, wanted %g", d, c.AfterDry(wet, d, at), target)
		}
	})
}

func TestNeverDry(t *testing.T) {
	for _, c := range []struct {
		target, force float64
	}{{10, 0}, {0, 400}} {
		if d, err := TypicalCurve().DryTime(60, c.target, RackConditions{ForcePa: c.force, FanFactor: 1}); !errors.Is(err, ErrNeverDry) {
			t.Errorf("target %g g at %g Pa: %v %v", c.target, c.force, d, err)
		}
	}
	if d, err := TypicalCurve().DryTime(10, 20, reference); d != 0 || err != nil {
		t.Errorf("greens that are dry enough need %v, %v", d, err)
	}
}

func TestWithRateFromKeepsTheRecipe(t *testing.T) {
	c := TypicalCurve().WithRateFrom(4*time.Minute, 20*time.Second, 22*time.Minute, 15, reference)
	d, err := c.DryTime(c.AfterSpin(4*time.Minute, 20*time.Second), 15, reference)
	if err != nil || math.Abs(d.Minutes()-22) > 0.001 {
		t.Errorf("the recipe's 22 min became %v, %v", d, err)
	}
}

func TestWeighingValidate(t *testing.T) {
	for _, c := range []struct {
		w    Weighing
		want string
	}{
		{Weighing{BeforeG: 2000, SpunG: 2120, DriedG: 2030}, ""},
		{Weighing{SpunG: 2120}, ""},
		{Weighing{SpunG: 2000, DriedG: 2200}, "weight grows while drying, from 2.00 kg to 2.20 kg: check both, and that the basket was taken off"},
		{Weighing{BeforeG: 2000, SpunG: 4100}, "weight doubles in the wash, from 2.00 kg to 4.10 kg: check both, and that the basket was taken off"},
		{Weighing{BeforeG: 2000, SpunG: 1200}, "weight falls in the wash, from 2.00 kg to 1.20 kg: check both"},
		{Weighing{BeforeG: -5}, "weight before the wash is -5 g: give 1 g to 100 kg, or leave it out"},
		{Weighing{DriedG: math.NaN()}, "weight after drying is NaN g: give 1 g to 100 kg, or leave it out"},
	} {
		err := c.w.Validate()
		if (err == nil) != (c.want == "") || (err != nil && err.Error() != c.want) {
			t.Errorf("%+v: %v, want %q", c.w, err, c.want)
		}
	}
}

func TestLearnWithoutWeights(t *testing.T) {
	if _, err := FitCurve(TypicalCurve(), []Weighing{{SpunG: 2000}, {}}); !errors.Is(err, ErrTooFewWeighings) {
		t.Errorf("one weight a batch: %v", err)
	}
	f, err := FitCurve(TypicalCurve(), []Weighing{{Spin: 4 * time.Minute, BeforeG: 2000, SpunG: 2080}})
	if err != nil || f.SpinLearned() {
		t.Errorf("one batch: learned %v, %v", f.SpinLearned(), err)
	}
}

// Coated sour cherry slices, doi 10.1016/j.ultsonch.2023.106633, Table 1, as at
// pmc.ncbi.nlm.nih.gov/articles/PMC10571025/table/t0005: Newton's (Lewis's) model with
// k .0198. The times 0, 15, ... 90 min are inferred: with them every printed prediction
// comes out to 0.001.
func TestFallingRateAgainstPublishedTable(t *testing.T) {
	c := DryingCurve{CriticalG: 1, RatePerPa: .0198}
	for i, published := range []float64{1.000, .743, .552, .410, .305, .227, .168} {
		dry := time.Duration(i) * 15 * time.Minute
		near(t, fmt.Sprintf("ratio after %v", dry), c.AfterDry(1, dry, RackConditions{ForcePa: 1, FanFactor: 1}), published, .001)
	}
}
