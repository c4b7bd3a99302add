package records

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// LearningCurve is the unit (Crawford) learning curve: the n-th time is First * n^Exponent.
type LearningCurve struct {
	First    float64
	Exponent float64 // negative while times fall; log2 of the rate
	Spread   float64 // standard deviation of ln time around the curve
	N        int     // times that it was fitted to; 0 for a curve from a rate

	meanLog, sumSq float64 // of ln n, for the forecast's interval
}

// ErrTooFewTimes is returned for fewer than three times: two always fit.
var ErrTooFewTimes = errors.New("at least three times are needed for a learning curve")

// Rate is what a doubling of the count leaves of the time.
func (c LearningCurve) Rate() float64 { return math.Exp2(c.Exponent) }

// At is the time of the n-th repetition, from 1.
func (c LearningCurve) At(n int) float64 { return c.First * math.Pow(float64(n), c.Exponent) }

// FitLearning fits a curve to times in the order they were made, by least squares of the
// logarithms. Times that are not positive are an error.
func FitLearning(times []float64) (LearningCurve, error) {
	if len(times) < 3 {
		return LearningCurve{}, ErrTooFewTimes
	}
	x, y := make([]float64, len(times)), make([]float64, len(times))
	for i, t := range times {
		if !(t > 0) || math.IsInf(t, 0) {
			return LearningCurve{}, errors.New("a time that is not positive cannot be on a learning curve")
		}
		x[i], y[i] = math.Log(float64(i+1)), math.Log(t)
	}
	a, b := stat.LinearRegression(x, y, nil, false)
	c := LearningCurve{First: math.Exp(a), Exponent: b, N: len(times), meanLog: stat.Mean(x, nil)}
	rest := 0.0
	for i := range x {
		r := y[i] - a - b*x[i]
		rest += r * r
		c.sumSq += (x[i] - c.meanLog) * (x[i] - c.meanLog)
	}
	c.Spread = math.Sqrt(rest / float64(len(x)-2))
	return c, nil
}

// Forecast is an expected time with the bounds that it stays within at the given
// confidence.
type Forecast struct {
	N              int
	Time           float64
	Shortest, Most float64
}

// Next forecasts the next k times after the ones that the curve was fitted to.
func (c LearningCurve) Next(k int, confidence float64) []Forecast {
	out := make([]Forecast, 0, k)
	if c.N < 3 {
		return out
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(c.N - 2)}.Quantile(1 - (1-confidence)/2)
	for i := range k {
		n := c.N + 1 + i
		x := math.Log(float64(n)) - c.meanLog
		half := t * c.Spread * math.Sqrt(1+1/float64(c.N)+x*x/c.sumSq)
		at := c.At(n)
		out = append(out, Forecast{N: n, Time: at, Shortest: at * math.Exp(-half), Most: at * math.Exp(half)})
	}
	return out
}
