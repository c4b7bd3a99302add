package pace_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"shedbell/line"
	"shedbell/line/pace"
)

// The score of a large sample is that of its distribution in closed form: of the normal
// (Gneiting and Raftery, 2007, section 4.2) and the lognormal, both formulas and values
// from memory, the first and third lognormal value confirmed by direct integration.
func TestCRPS(t *testing.T) {
	normal := func(m, s float64) func(float64) float64 { return distuv.Normal{Mu: m, Sigma: s}.Quantile }
	lognormal := func(m, s float64) func(float64) float64 { return distuv.LogNormal{Mu: m, Sigma: s}.Quantile }
	for _, c := range []struct {
		name     string
		quantile func(float64) float64
		came     float64
		want     float64
	}{
		{"normal z 0", normal(0, 1), 0, .233695},
		{"normal z 0.5", normal(0, 1), .5, .331404},
		{"normal z 1", normal(0, 1), 1, .602441},
		{"normal z 2", normal(0, 1), 2, 1.452792},
		{"normal z 3", normal(0, 1), 3, 2.436575},
		{"normal 10, 2 at 12", normal(10, 2), 12, 1.204883},
		{"lognormal 0, 0.5 at 1", lognormal(0, .5), 1, .120792},
		{"lognormal 0, 0.5 at 2", lognormal(0, .5), 2, .647869},
		{"lognormal 0, 1 at 1", lognormal(0, 1), 1, .267405},
		{"lognormal ln 90, 0.2 at 100", lognormal(math.Log(90), .2), 100, 6.318575},
	} {
		const n = 20000
		sample := make([]float64, n)
		for i := range sample {
			sample[i] = c.quantile((float64(i) + 0.5) / n)
		}
		if got := pace.CRPS(sample, c.came); math.Abs(got/c.want-1) > 0.002 {
			t.Errorf("%s: %.6f, closed form %.6f", c.name, got, c.want)
		}
		few := make([]float64, line.PromiseParts)
		for i := range few {
			few[i] = c.quantile(float64(i+1) / (line.PromiseParts + 1))
		}
		if got := pace.QuantileCRPS(few, c.came); math.Abs(got/c.want-1) > 0.06 {
			t.Errorf("%s, of 19 quantiles: %.6f, closed form %.6f", c.name, got, c.want)
		}
	}
}

// promised keeps a day's forecast, as a learner's width makes it, and its end.
func promised(l *pace.Learner, day int, quantile func(p float64) float64, took float64) pace.Promise {
	at := firstDay.AddDate(0, 0, day)
	p := pace.Promise{Date: at.Format(time.DateOnly), At: at}
	for i := range line.PromiseParts {
		p.Quantile = append(p.Quantile, quantile(float64(i+1)/(line.PromiseParts+1)))
	}
	in := func(min float64) time.Time { return at.Add(time.Duration(min * float64(time.Minute))) }
	p.P50, p.P90 = l.Learned("").Width().Apply(at, in(p.Quantile[9]), in(p.Quantile[17]))
	l.Promise(p)
	p.End = in(took)
	l.DayEnded(p.Date, p.End)
	return p
}

// Forecasts that are too narrow and too early come right: nine in ten days are over by
// the 90 % time after a while. Forecasts that are right stay so.
func TestWidthCorrectsItself(t *testing.T) {
	for _, c := range []struct {
		name        string
		early, wide float64 // minutes, and how wide the forecast is for what it should be
	}{{"right", 0, 1}, {"half as wide", 0, 0.5}, {"half as wide and 10 min early", 10, 0.5}, {"twice as wide", 0, 2}} {
		in90, in50, n := 0.0, 0.0, 0.0
		for seed := range uint64(60) {
			rnd := rand.New(rand.NewPCG(seed, 1))
			var l pace.Learner
			for day := range 100 {
				mid := 240 + 60*rnd.Float64()
				took := mid + 20*rnd.NormFloat64()
				p := promised(&l, day, distuv.Normal{Mu: mid - c.early, Sigma: 20 * c.wide}.Quantile, took)
				if day < 40 {
					continue
				}
				n++
				if !p.End.After(p.P50) {
					in50++
				}
				if !p.End.After(p.P90) {
					in90++
				}
			}
		}
		t.Logf("%s: %.1f %% by the 50 %% time, %.1f %% by the 90 %% time", c.name, 100*in50/n, 100*in90/n)
		if in90/n < 0.86 || in90/n > 0.94 || in50/n < 0.42 || in50/n > 0.58 {
			t.Errorf("%s: %.1f %% by the 50 %% time, %.1f %% by the 90 %% time", c.name, 100*in50/n, 100*in90/n)
		}
	}
}

// The scores of promises, worked out by hand: two days, the first half an hour late and
// past both times, the second on the dot.
func TestScores(t *testing.T) {
	var l pace.Learner
	flat := func(p float64) float64 { return 100 + 20*p } // 5 % at 101 min, 95 % at 119
	promised(&l, 0, flat, 140)
	promised(&l, 40, flat, 110)
	got := pace.Scores(l.Learned("").Promises(), true)
	if len(got) != 3 || got[0].Month != "2026-03" || got[1].Month != "2026-04" || got[2].Month != "" {
		t.Fatalf("%+v", got)
	}
	all := got[2]
	if all.N != 2 || all.In50 != 0.5 || all.In90 != 0.5 || math.Abs(all.Bias-15) > 0.5 {
		t.Errorf("all: %+v", all)
	}
	// Of the uniform distribution from a to b: |y-m| - (b-a)/6 outside, (b-a)/12 in its middle.
	if want := 30 - 20.0/6; math.Abs(got[0].CRPS-want) > 1 {
		t.Errorf("CRPS %.2f, of the uniform distribution %.2f", got[0].CRPS, want)
	}
	if want := 20.0 / 12; math.Abs(got[1].CRPS-want) > 0.15 {
		t.Errorf("CRPS %.2f, of the uniform distribution %.2f", got[1].CRPS, want)
	}
}
