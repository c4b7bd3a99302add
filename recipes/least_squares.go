package recipes

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Errors of a fit.
var (
	ErrTooFewWeighings = errors.New("too few weighings to fit")
	ErrNoFit           = errors.New("the weighings do not settle on a curve")
)

// Estimate is a fitted value with the interval that holds the truth with 90
// percent probability if the model and its assumptions are right.
type Estimate struct {
	Value, Low, High float64
	// SE is the standard error of the value's logarithm, Dof the degrees of
	// freedom behind it.
	SE, Dof float64
}

// IntervalLevel is the probability that the intervals are made for.
const IntervalLevel = 0.90

// logEstimate makes an estimate of a positive value from its logarithm.
func logEstimate(log, se, dof float64) Estimate {
	half := se * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: math.Max(dof, 1)}.Quantile((1+IntervalLevel)/2)
	return Estimate{Value: math.Exp(log), Low: math.Exp(log - half), High: math.Exp(log + half), SE: se, Dof: dof}
}

// solution is a least-squares fit; covariance is for residuals of unit variance.
type solution struct {
	params     []float64
	covariance *mat.SymDense
	sse        float64
}

func (s solution) se(i int) float64 { return math.Sqrt(s.covariance.At(i, i)) }

// variance is that of a derived value with the given gradient.
func (s solution) variance(gradient []float64) float64 {
	g := mat.NewVecDense(len(gradient), gradient)
	return mat.Inner(g, s.covariance, g)
}

const (
	maxIterations  = 60
	derivativeStep = 1e-5 // of a parameter, for the derivative
	settledChange  = 1e-7 // relative change of the sum of squares
)

// leastSquares minimizes the sum of n squared residuals by the method of
// Levenberg and Marquardt. Parameters should be of the order of one, which
// logarithms of physical constants are.
func leastSquares(residuals func(p, out []float64), n int, start []float64) (solution, error) {
	m := len(start)
	if n < m {
		return solution{}, ErrTooFewWeighings
	}
	p := append([]float64(nil), start...)
	r, next := make([]float64, n), make([]float64, n)
	residuals(p, r)
	sse := sumSquares(r)
	damping := 1e-3
	for range maxIterations {
		normal, gradient := normalEquations(residuals, p, r, next)
		improved := false
		for range 12 {
			delta, ok := dampedStep(normal, gradient, damping)
			if !ok {
				damping *= 10
				continue
			}
			trial := make([]float64, m)
			for i := range trial {
				trial[i] = p[i] - clamp(delta.AtVec(i), 1)
			}
			residuals(trial, next)
			if s := sumSquares(next); s <= sse {
				gain := (sse - s) / math.Max(sse, 1e-300)
				p, r, next, sse = trial, next, r, s
				damping = math.Max(damping/10, 1e-12)
				improved = gain > settledChange
				break
			}
			damping *= 10
		}
		if !improved {
			return finishFit(residuals, p, r, next, sse)
		}
	}
	return finishFit(residuals, p, r, next, sse)
}

func finishFit(residuals func(p, out []float64), p, r, scratch []float64, sse float64) (solution, error) {
	normal, _ := normalEquations(residuals, p, r, scratch)
	var chol mat.Cholesky
	if math.IsNaN(sse) || math.IsInf(sse, 0) || !chol.Factorize(normal) {
		return solution{}, ErrNoFit
	}
	covariance := mat.NewSymDense(len(p), nil)
	if err := chol.InverseTo(covariance); err != nil {
		return solution{}, ErrNoFit
	}
	return solution{params: p, covariance: covariance, sse: sse}, nil
}

// normalEquations gives J'J and J'r with the derivative taken numerically.
func normalEquations(residuals func(p, out []float64), p, r, scratch []float64) (*mat.SymDense, *mat.VecDense) {
	m, n := len(p), len(r)
	columns := make([][]float64, m)
	moved := append([]float64(nil), p...)
	for j := range columns {
		moved[j] = p[j] + derivativeStep
		residuals(moved, scratch)
		moved[j] = p[j]
		columns[j] = make([]float64, n)
		for i := range columns[j] {
			columns[j][i] = (scratch[i] - r[i]) / derivativeStep
		}
	}
	normal, gradient := mat.NewSymDense(m, nil), mat.NewVecDense(m, nil)
	for a := range columns {
		gradient.SetVec(a, dot(columns[a], r))
		for b := a; b < m; b++ {
			normal.SetSym(a, b, dot(columns[a], columns[b]))
		}
	}
	return normal, gradient
}

func dampedStep(normal *mat.SymDense, gradient *mat.VecDense, damping float64) (*mat.VecDense, bool) {
	m := gradient.Len()
	damped := mat.NewSymDense(m, nil)
	damped.CopySym(normal)
	for i := range m {
		damped.SetSym(i, i, normal.At(i, i)*(1+damping)+1e-12)
	}
	var chol mat.Cholesky
	if !chol.Factorize(damped) {
		return nil, false
	}
	delta := mat.NewVecDense(m, nil)
	return delta, chol.SolveVecTo(delta, gradient) == nil
}

func dot(a, b []float64) float64 {
	s := 0.0
	for i := range a {
		s += a[i] * b[i]
	}
	return s
}

func sumSquares(r []float64) float64 { return dot(r, r) }

func clamp(v, most float64) float64 { return math.Max(-most, math.Min(most, v)) }
