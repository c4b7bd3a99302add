package recipes

import (
	"math"
	"shedbell/line/say"
	"time"
)

// Weighing is one batch on the scale. A weight of 0 was not taken; a batch is
// of use with any two of the three.
type Weighing struct {
	Spin, Ramp time.Duration
	Dry        time.Duration
	At         RackConditions
	BeforeG    float64 // before the wash, dry
	SpunG      float64 // after the spinner
	DriedG     float64 // after the rack
}

// mostWeightG is what a batch can weigh at most.
const mostWeightG = 100000

// Validate refuses weights that cannot be, with what would be right.
func (w Weighing) Validate() error {
	for _, v := range []struct {
		id string
		g  float64
	}{{"tasting.weight-before", w.BeforeG}, {"tasting.weight-spun", w.SpunG}, {"tasting.weight-dried", w.DriedG}} {
		if !(v.g >= 0 && v.g <= mostWeightG) {
			return say.Err(v.id, say.Grams(v.g), say.Grams(1), say.Grams(mostWeightG))
		}
	}
	switch {
	case w.SpunG > 0 && w.DriedG > w.SpunG*(1+WeighSlack):
		return say.Err("tasting.grows", say.Grams(w.SpunG), say.Grams(w.DriedG))
	case w.BeforeG > 0 && w.SpunG > 2*w.BeforeG:
		return say.Err("tasting.doubles", say.Grams(w.BeforeG), say.Grams(w.SpunG))
	case w.BeforeG > 0 && w.SpunG > 0 && w.SpunG < w.BeforeG*(1-WeighLoss):
		return say.Err("tasting.falls", say.Grams(w.BeforeG), say.Grams(w.SpunG))
	}
	return nil
}

// Slack of the scale: a weight may seem to grow by 3 percent while drying, and
// greens may lose 20 percent in the wash as hulls and stems.
const (
	WeighSlack = 0.03
	WeighLoss  = 0.20
)

func (w Weighing) count() int {
	n := 0
	for _, g := range []float64{w.BeforeG, w.SpunG, w.DriedG} {
		if g > 0 {
			n++
		}
	}
	return max(n-1, 0)
}

// parameters of the fit, each the logarithm of a positive constant
const (
	pExcess = iota // LiftedG - FloorG
	pFloor
	pTau
	pRate
	pCritical
	pCount
)

// priorSpread is how far the truth may lie from the start, as the standard deviation
// of the logarithm: a factor of two or so. It decides only what the weighings
// leave open, such as the spin's time constant when every spin took as long.
var priorSpread = [pCount]float64{0.7, 0.8, 0.7, 0.9, 0.7}

// The scale's error that a fit starts from, and how many weighings that guess is
// worth.
const (
	startSigmaG  = 20
	startWeights = 3
)

// CurveFit is what a crop's weighings say. The estimates carry their intervals; an
// estimate that the weighings say little about keeps a wide one.
type CurveFit struct {
	Constants DryingCurve

	LiftedG, FloorG, SpinTauS, RatePerPa, CriticalG Estimate

	SigmaG   float64 // error of one weighing in grams
	Batches  int     // batches that had weights to learn from
	solution solution
	dof      float64
}

// FitCurve fits the constants to weighings by least squares, starting from (and
// held loosely to) the given constants. Weighings are taken as they are: those
// that Validate refuses belong to the person who typed them, not in a fit.
func FitCurve(start DryingCurve, weighings []Weighing) (CurveFit, error) {
	var use []Weighing
	n := 0
	for _, w := range weighings {
		if c := w.count(); c > 0 {
			use = append(use, w)
			n += c
		}
	}
	if n == 0 {
		return CurveFit{}, ErrTooFewWeighings
	}
	prior := curveLogs(start)
	sigma := float64(startSigmaG)
	var s solution
	var dof float64
	at := prior[:]
	for range 4 {
		var err error
		s, err = leastSquares(func(p, out []float64) { fillResiduals(p, prior, sigma, use, out) }, n+pCount, at)
		if err != nil {
			return CurveFit{}, err
		}
		at = s.params
		used := float64(pCount)
		pull := 0.0
		for i := range pCount {
			used -= s.covariance.At(i, i) / (priorSpread[i] * priorSpread[i])
			pull += sq((s.params[i] - prior[i]) / priorSpread[i])
		}
		dof = startWeights + math.Max(float64(n)-used, 0)
		before := sigma
		sigma = math.Sqrt((startWeights*startSigmaG*startSigmaG + sq(sigma)*(s.sse-pull)) / dof)
		if math.Abs(sigma/before-1) < 0.005 {
			break
		}
	}
	return newCurveFit(s, sigma, dof, len(use)), nil
}

func newCurveFit(s solution, sigma, dof float64, batches int) CurveFit {
	f := CurveFit{Constants: curveFromLogs(s.params), SigmaG: sigma, Batches: batches, solution: s, dof: dof}
	for i, e := range []*Estimate{pFloor: &f.FloorG, pTau: &f.SpinTauS, pRate: &f.RatePerPa, pCritical: &f.CriticalG} {
		if e != nil {
			*e = logEstimate(s.params[i], s.se(i), dof)
		}
	}
	f.LiftedG = f.derive(func(c DryingCurve) float64 { return c.LiftedG })
	return f
}

// derive estimates a positive value that follows from the constants.
func (f CurveFit) derive(value func(DryingCurve) float64) Estimate {
	at := math.Log(value(f.Constants))
	gradient := make([]float64, pCount)
	p := append([]float64(nil), f.solution.params...)
	for i := range gradient {
		p[i] += 1e-4
		gradient[i] = (math.Log(value(curveFromLogs(p))) - at) / 1e-4
		p[i] = f.solution.params[i]
	}
	return logEstimate(at, math.Sqrt(f.solution.variance(gradient)), f.dof)
}

// DryMinutes estimates the minutes on the rack until the target is reached.
func (f CurveFit) DryMinutes(spin, ramp time.Duration, targetG float64, at RackConditions) (Estimate, error) {
	if d, err := f.Constants.DryTime(f.Constants.AfterSpin(spin, ramp), targetG, at); err != nil || d <= 0 {
		return Estimate{}, err
	}
	return f.derive(func(c DryingCurve) float64 {
		return math.Max(c.Need(c.AfterSpin(spin, ramp), targetG)/c.rate(at), 1e-9)
	}), nil
}

// SpinLearned reports whether the weighings pin the spin curve down: its time
// constant is known to within a factor of 1.5 either way.
func (f CurveFit) SpinLearned() bool {
	return f.Batches > 0 && f.SpinTauS.High < 1.5*f.SpinTauS.Value && f.RatePerPa.High < 1.5*f.RatePerPa.Value
}

func curveLogs(c DryingCurve) [pCount]float64 {
	return [pCount]float64{
		pExcess:   math.Log(math.Max(c.LiftedG-c.FloorG, 1)),
		pFloor:    math.Log(c.FloorG),
		pTau:      math.Log(c.SpinTau.Seconds()),
		pRate:     math.Log(c.RatePerPa),
		pCritical: math.Log(c.CriticalG),
	}
}

func curveFromLogs(p []float64) DryingCurve {
	floor := math.Exp(p[pFloor])
	return DryingCurve{
		FloorG:    floor,
		LiftedG:   floor + math.Exp(p[pExcess]),
		SpinTau:   time.Duration(math.Exp(p[pTau]) * float64(time.Second)),
		RatePerPa: math.Exp(p[pRate]),
		CriticalG: math.Exp(p[pCritical]),
	}
}

// fillResiduals gives every weighing's misfit in units of the scale's error,
// then the pull of the start. The weights of a batch share the error of their
// common first weight, so the second misfit is freed of what the first explains.
func fillResiduals(p []float64, prior [pCount]float64, sigma float64, use []Weighing, out []float64) {
	c := curveFromLogs(p)
	k := 0
	for i := range use {
		w := &use[i]
		spun := 1 + c.AfterSpin(w.Spin, w.Ramp)/1000
		dried := 0.0
		if w.DriedG > 0 {
			dried = 1 + c.AfterDry(1000*(spun-1), w.Dry, w.At)/1000
		}
		switch {
		case w.BeforeG == 0:
			ratio := w.DriedG / w.SpunG
			out[k] = (w.DriedG - w.SpunG*dried/spun) / math.Sqrt(1+ratio*ratio) / sigma
			k++
		case w.SpunG == 0:
			out[k] = (w.DriedG - w.BeforeG*dried) / math.Sqrt(1+sq(w.DriedG/w.BeforeG)) / sigma
			k++
		default:
			a := w.SpunG / w.BeforeG
			first := math.Sqrt(1 + a*a)
			out[k] = (w.SpunG - w.BeforeG*spun) / first / sigma
			k++
			if w.DriedG > 0 {
				b := w.DriedG / w.BeforeG
				shared := a * b / first
				out[k] = ((w.DriedG-w.BeforeG*dried)/sigma - shared*out[k-1]) / math.Sqrt(1+b*b-shared*shared)
				k++
			}
		}
	}
	for i := range pCount {
		out[k+i] = (p[i] - prior[i]) / priorSpread[i]
	}
}

func sq(v float64) float64 { return v * v }
