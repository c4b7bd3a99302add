package records

import (
	"errors"
	"fmt"
	"math"

	"shedbell/line/say"
)

// Constants for moving ranges of two, from the tables of the NIST/SEMATECH
// e-Handbook, 6.3.2: d2 of two observations and D4 of two.
const (
	d2 = 1.128
	d4 = 3.267
)

// ErrTooFewValues is returned where there are not enough values to say anything.
var ErrTooFewValues = errors.New("at least two values are needed")

// IMR is an individuals chart with its moving ranges, NIST/SEMATECH e-Handbook
// 6.3.2.2. Every number is in the unit of the values.
type IMR struct {
	Values  []float64
	Ranges  []float64 // Ranges[i] is between Values[i] and Values[i+1]
	Mean    float64
	MRMean  float64
	Upper   float64 // mean + 3 MRMean/1.128
	Lower   float64
	MRUpper float64 // 3.267 MRMean
	Signals []Signal
}

// Signal is something that chance alone seldom makes.
type Signal struct {
	At   int // index of the value where it is complete
	From int // index of the first value that it rests on
	Rule string
	Text say.Sentence
}

// Rules of signals, in the order they are looked for.
const (
	RuleBeyond = "beyond limits"
	RuleTwo    = "two of three"
	RuleFour   = "four of five"
	RuleRun    = "run of eight"
	RuleTrend  = "trend of six"
	RuleJump   = "large jump"
)

// NewIMR makes a chart whose limits come from all the values.
func NewIMR(values []float64) (*IMR, error) { return NewIMRFrom(values, len(values)) }

// NewIMRFrom makes a chart whose limits come from the first values only, so that
// what came after a change is judged by what was before it.
func NewIMRFrom(values []float64, base int) (*IMR, error) {
	base = min(base, len(values))
	if base < 2 {
		return nil, ErrTooFewValues
	}
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("%g cannot be charted", v)
		}
	}
	c := &IMR{Values: values, Ranges: make([]float64, len(values)-1)}
	for i := range c.Ranges {
		c.Ranges[i] = math.Abs(values[i+1] - values[i])
	}
	c.Mean, c.MRMean = mean(values[:base]), mean(c.Ranges[:base-1])
	half := 3 * c.MRMean / d2
	c.Upper, c.Lower, c.MRUpper = c.Mean+half, c.Mean-half, d4*c.MRMean
	c.signal()
	return c, nil
}

// Sigma is the spread that the limits stand on.
func (c *IMR) Sigma() float64 { return c.MRMean / d2 }

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// signal marks the values by the rules of the NIST/SEMATECH e-Handbook, 6.3.2
// (from memory): one beyond 3 sigma, two of three beyond 2, four of five beyond 1,
// eight on one side, six rising or falling.
func (c *IMR) signal() {
	z := make([]float64, len(c.Values))
	for i, v := range c.Values {
		z[i] = v - c.Mean
		if s := c.Sigma(); s > 0 {
			z[i] /= s
		} else if z[i] != 0 {
			z[i] = math.Copysign(math.Inf(1), z[i])
		}
	}
	for i := range z {
		for _, r := range []struct {
			rule        string
			need, of    int
			beyond      float64
			high, below say.Sentence
		}{
			{RuleBeyond, 1, 1, 3, say.New("record-says.far-above-what-usual"), say.New("record-says.far-below-what-usual")},
			{RuleTwo, 2, 3, 2, say.New("record-says.two-three-high-something"), say.New("record-says.two-three-low-something")},
			{RuleFour, 4, 5, 1, say.New("record-says.four-five-above-mean"), say.New("record-says.four-five-below-mean")},
			{RuleRun, 8, 8, 0, say.New("record-says.eight-row-above-mean"), say.New("record-says.eight-row-below-mean")},
		} {
			if i+1 < r.of {
				continue
			}
			window := z[i+1-r.of : i+1]
			switch {
			case z[i] > r.beyond && countBeyond(window, r.beyond, 1) >= r.need:
				c.Signals = append(c.Signals, Signal{At: i, From: i + 1 - r.of, Rule: r.rule, Text: r.high})
			case z[i] < -r.beyond && countBeyond(window, r.beyond, -1) >= r.need:
				c.Signals = append(c.Signals, Signal{At: i, From: i + 1 - r.of, Rule: r.rule, Text: r.below})
			}
		}
		c.trendAt(i)
		if i > 0 && c.Ranges[i-1] > c.MRUpper && c.MRUpper > 0 {
			c.Signals = append(c.Signals, Signal{At: i, From: i - 1, Rule: RuleJump, Text: say.New("record-says.larger-jump-than-usual")})
		}
	}
}

func countBeyond(z []float64, beyond, side float64) int {
	n := 0
	for _, v := range z {
		if v*side > beyond {
			n++
		}
	}
	return n
}

func (c *IMR) trendAt(i int) {
	const n = 6
	if i+1 < n {
		return
	}
	up, down := true, true
	for k := i + 2 - n; k <= i; k++ {
		up = up && c.Values[k] > c.Values[k-1]
		down = down && c.Values[k] < c.Values[k-1]
	}
	switch {
	case up:
		c.Signals = append(c.Signals, Signal{At: i, From: i + 1 - n, Rule: RuleTrend, Text: say.New("record-says.six-row-rising")})
	case down:
		c.Signals = append(c.Signals, Signal{At: i, From: i + 1 - n, Rule: RuleTrend, Text: say.New("record-says.six-row-falling")})
	}
}
