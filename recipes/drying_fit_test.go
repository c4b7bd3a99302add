package recipes

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// design is a season of batches: spins and dry times around the recipe's, in
// weather that changes.
func design(rng *rand.Rand, batches int) []Weighing {
	out := make([]Weighing, batches)
	for i := range out {
		spins := []time.Duration{90 * time.Second, 150 * time.Second, 210 * time.Second, 300 * time.Second}
		s := Air{TempC: 16 + 10*rng.Float64(), RHPercent: 40 + 35*rng.Float64()}
		out[i] = Weighing{
			Spin: spins[i%len(spins)], Ramp: 20 * time.Second,
			Dry:     time.Duration(8+22*rng.Float64()) * time.Minute,
			At:      RackConditions{ForcePa: s.DryingForcePa(), FanFactor: 1},
			BeforeG: 2000,
		}
	}
	return out
}

// weigh puts the design's batches on a scale with an error of 20 g for each
// weighing of a 2 kg batch.
func weigh(rng *rand.Rand, c DryingCurve, design []Weighing, sigmaG float64) []Weighing {
	out := make([]Weighing, len(design))
	for i, w := range design {
		spun := c.AfterSpin(w.Spin, w.Ramp)
		dried := c.AfterDry(spun, w.Dry, w.At)
		true0 := w.BeforeG
		w.BeforeG = true0 + sigmaG*rng.NormFloat64()
		w.SpunG = true0*(1+spun/1000) + sigmaG*rng.NormFloat64()
		w.DriedG = true0*(1+dried/1000) + sigmaG*rng.NormFloat64()
		out[i] = w
	}
	return out
}

var truth = DryingCurve{LiftedG: 240, FloorG: 26, SpinTau: 50 * time.Second, RatePerPa: 0.0085, CriticalG: 18}

var reference = RackConditions{ForcePa: Air{TempC: 20, RHPercent: 50}.DryingForcePa(), FanFactor: 1}

// coverage counts how often the intervals of a fit hold the truth.
type coverage struct {
	held  map[string]int
	draws int
}

func (c *coverage) add(t *testing.T, f CurveFit, truth DryingCurve) {
	t.Helper()
	const spin, ramp = 4 * time.Minute, 20 * time.Second
	spun := truth.AfterSpin(spin, ramp)
	target := spun / 3
	trueTime, err := truth.DryTime(spun, target, reference)
	if err != nil {
		t.Fatal(err)
	}
	minutes, err := f.DryMinutes(spin, ramp, target, reference)
	if err != nil {
		t.Fatal(err)
	}
	c.draws++
	for name, e := range map[string]struct {
		Estimate
		truth float64
	}{
		"lifted": {f.LiftedG, truth.LiftedG}, "floor": {f.FloorG, truth.FloorG},
		"tau": {f.SpinTauS, truth.SpinTau.Seconds()}, "rate": {f.RatePerPa, truth.RatePerPa},
		"critical": {f.CriticalG, truth.CriticalG}, "dry time": {minutes, trueTime.Minutes()},
	} {
		if e.Low <= e.truth && e.truth <= e.High {
			c.held[name]++
		}
	}
}

func (c *coverage) check(t *testing.T, least, most float64) {
	t.Helper()
	for name, n := range c.held {
		share := float64(n) / float64(c.draws)
		t.Logf("%-9s %.1f %% of the 90 %% intervals hold the truth", name, 100*share)
		if share < least || share > most {
			t.Errorf("%s: %.3f of the intervals hold the truth, stated 0.90", name, share)
		}
	}
}

// The intervals are made for 90 percent. Constants are drawn from the spread
// that a fit assumes around its start, then weighed with an error of 20 g on
// 2 kg. Over 1,000 draws the binomial standard error of the share is 0.95
// percent. The intervals treat the model as straight near its optimum, which
// costs the floor about 5 percent where the weighings hardly reach it.
func TestIntervalsHoldTheTruth(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	start := TypicalCurve().WithRateFrom(4*time.Minute, 20*time.Second, 22*time.Minute, 15, reference)
	c := coverage{held: map[string]int{}}
	for range 1000 {
		p := curveLogs(start)
		for i := range p {
			p[i] += priorSpread[i] * rng.NormFloat64()
		}
		truth := curveFromLogs(p[:])
		f, err := FitCurve(start, weigh(rng, truth, design(rng, 40), 20))
		if err != nil {
			t.Fatal(err)
		}
		c.add(t, f, truth)
	}
	c.check(t, 0.83, 0.94)
}

// The same with one set of constants, off the start by up to a factor of 1.5.
// What the weighings leave to the start (the critical water) may be held more
// often than stated, as the start is nearer to the truth than it claims.
func TestIntervalsHoldAFixedTruth(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	start := TypicalCurve().WithRateFrom(4*time.Minute, 20*time.Second, 22*time.Minute, 15, reference)
	c := coverage{held: map[string]int{}}
	for range 1000 {
		f, err := FitCurve(start, weigh(rng, truth, design(rng, 60), 20))
		if err != nil {
			t.Fatal(err)
		}
		c.add(t, f, truth)
	}
	c.check(t, 0.86, 0.99)
}

// With weights that are exact the constants come back.
func TestLearnIsConsistent(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	f, err := FitCurve(TypicalCurve(), weigh(rng, truth, design(rng, 800), 1))
	if err != nil {
		t.Fatal(err)
	}
	for name, pair := range map[string][2]float64{
		"lifted": {f.Constants.LiftedG, truth.LiftedG}, "floor": {f.Constants.FloorG, truth.FloorG},
		"tau": {f.Constants.SpinTau.Seconds(), truth.SpinTau.Seconds()}, "rate": {f.Constants.RatePerPa, truth.RatePerPa},
		"critical": {f.Constants.CriticalG, truth.CriticalG},
	} {
		if math.Abs(pair[0]/pair[1]-1) > 0.05 {
			t.Errorf("%s: %.4g, truth %.4g", name, pair[0], pair[1])
		}
	}
	if !f.SpinLearned() {
		t.Error("800 exact batches do not count as learned")
	}
}

func BenchmarkLearn2000(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	data := weigh(rng, truth, design(rng, 2000), 20)
	for b.Loop() {
		if _, err := FitCurve(TypicalCurve(), data); err != nil {
			b.Fatal(err)
		}
	}
}
