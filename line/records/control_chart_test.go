package records

import (
	"math"
	"testing"
)

// Flow rates of ten batches, NIST/SEMATECH e-Handbook 6.3.2.2 (pmc322.htm).
var flow = []float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within {
		t.Errorf("%s is %.6f, published %.6f", what, got, want)
	}
}

func TestIndividualsChart(t *testing.T) {
	c, err := NewIMR(flow)
	if err != nil {
		t.Fatal(err)
	}
	// NIST/SEMATECH e-Handbook 6.3.2.2: moving ranges, centre and limits.
	for i, want := range []float64{2.0, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5} {
		near(t, "moving range", c.Ranges[i], want, 1e-9)
	}
	near(t, "mean", c.Mean, 50.81, 1e-9)
	near(t, "mean moving range", c.MRMean, 1.8778, 5e-5)
	near(t, "upper limit", c.Upper, 55.8041, 5e-5)
	near(t, "lower limit", c.Lower, 45.8159, 5e-5)
	near(t, "upper limit of ranges", c.MRUpper, 6.1347, 5e-5)
	if len(c.Signals) != 0 {
		t.Errorf("the handbook calls this process in control, got %+v", c.Signals)
	}
}

func TestSignals(t *testing.T) {
	// The rules by their wording, NIST/SEMATECH e-Handbook 6.3.2 (from memory).
	steady := []float64{10, 11, 10, 11, 10, 11, 10, 11}
	for _, tc := range []struct {
		name string
		more []float64
		rule string
	}{
		{"beyond", []float64{20}, RuleBeyond},
		{"run", []float64{11.1, 11, 11.1, 11, 11.1, 11, 11.1, 11}, RuleRun},
		{"trend", []float64{10, 10.2, 10.4, 10.6, 10.8, 11}, RuleTrend},
		{"two of three", []float64{12.4, 10.5, 12.4}, RuleTwo},
		{"four of five", []float64{11.5, 11.5, 10.5, 11.5, 11.5}, RuleFour},
	} {
		t.Run(tc.name, func(t *testing.T) {
			c, err := NewIMRFrom(append(append([]float64{}, steady...), tc.more...), len(steady))
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range c.Signals {
				if s.Rule == tc.rule && s.At == len(c.Values)-1 && s.Text.ID != "" {
					return
				}
			}
			t.Errorf("no signal %q at the end: %+v", tc.rule, c.Signals)
		})
	}
}

func TestTooFew(t *testing.T) {
	for _, v := range [][]float64{nil, {1}, {1, math.NaN()}, {math.Inf(1), 2, 3}} {
		if _, err := NewIMR(v); err == nil {
			t.Errorf("%v was charted", v)
		}
	}
}

func TestCompare(t *testing.T) {
	// AUTO83B.DAT's summary, NIST/SEMATECH e-Handbook 1.3.5.3 (from memory): two
	// samples with n 249 and 79, means 20.14458 and 30.48101, sd 6.41470 and
	// 6.10771, unequal variances: t = -12.94627 with 136.8750 degrees of freedom.
	before, after := sample(249, 20.14458, 6.41470), sample(79, 30.48101, 6.10771)
	c, err := CompareMeans(before, after, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "difference", c.Diff, 10.33643, 1e-6)
	near(t, "degrees of freedom", c.DF, 136.8750, 2e-3)
	// Half the interval is t(0.975, 136.9) = 1.9775 times the difference over 12.94627.
	near(t, "half interval", (c.High-c.Low)/2, 1.9775*10.33643/12.94627, 1e-3)
}

// sample makes n values with exactly this mean and standard deviation.
func sample(n int, mean, sd float64) []float64 {
	out := make([]float64, n)
	sum, sq := 0.0, 0.0
	for i := range out {
		out[i] = float64(i)
		sum += out[i]
	}
	for i := range out {
		out[i] -= sum / float64(n)
		sq += out[i] * out[i]
	}
	for i := range out {
		out[i] = mean + out[i]*sd/math.Sqrt(sq/float64(n-1))
	}
	return out
}
