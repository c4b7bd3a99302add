package recipes

import "math"

// The thin-layer models give the moisture ratio, 1 at the start and 0 at
// equilibrium, after a time t; k is in the inverse unit of t (to the power n).

// Lewis is Lewis's (Newton's) model: exp(-kt).
func Lewis(t, k float64) float64 { return math.Exp(-k * t) }

// Page is Page's model as rated by a time constant: exp(-(kt)^n).
func Page(t, k, n float64) float64 {
	if n == 1 {
		return math.Exp(-k * t)
	}
	return math.Exp(-math.Pow(k*t, n))
}

// PageK is Page's model as it is mostly printed: exp(-k t^n).
func PageK(t, k, n float64) float64 { return math.Exp(-k * math.Pow(t, n)) }

// HendersonPabis is a exp(-kt).
func HendersonPabis(t, a, k float64) float64 { return a * math.Exp(-k*t) }

// Logarithmic is a exp(-kt) + c.
func Logarithmic(t, a, k, c float64) float64 { return a*math.Exp(-k*t) + c }

// Midilli is a exp(-k t^n) + bt.
func Midilli(t, a, k, n, b float64) float64 { return a*math.Exp(-k*math.Pow(t, n)) + b*t }

// ThinLayer is a Page curve fitted to measured moisture ratios.
type ThinLayer struct {
	K, N Estimate
	SSE  float64 // sum of squared residuals
	RMSE float64 // root of SSE over the degrees of freedom
}

// FitPage fits exp(-k t^n) to moisture ratios measured at the given times by
// plain least squares. It needs three points that are not at time 0.
func FitPage(t, ratio []float64) (ThinLayer, error) {
	residuals := func(p, out []float64) {
		for i := range t {
			out[i] = PageK(t[i], math.Exp(p[0]), math.Exp(p[1])) - ratio[i]
		}
	}
	longest := 0.0
	for _, v := range t {
		longest = math.Max(longest, v)
	}
	f, err := leastSquares(residuals, len(t), []float64{math.Log(1 / longest), 0})
	if err != nil {
		return ThinLayer{}, err
	}
	dof := float64(len(t) - 2)
	if dof < 1 {
		return ThinLayer{}, ErrTooFewWeighings
	}
	sigma := math.Sqrt(f.sse / dof)
	return ThinLayer{
		K:    logEstimate(f.params[0], sigma*f.se(0), dof),
		N:    logEstimate(f.params[1], sigma*f.se(1), dof),
		SSE:  f.sse,
		RMSE: sigma,
	}, nil
}
