package records

import (
	"math"
	"testing"
)

// withRate is the curve with a learning rate, 0.8 where each doubling takes 80 percent
// of the time.
func withRate(first, rate float64) LearningCurve {
	return LearningCurve{First: first, Exponent: math.Log2(rate)}
}

func TestUnitTable(t *testing.T) {
	// Learning-curve factors of the unit model as operations management textbooks
	// print them: unit time and total time at n = 5, 10, 15, 20.
	for _, row := range []struct {
		rate        float64
		n           int
		unit, total float64
	}{
		{0.80, 5, .596, 3.738}, {0.80, 10, .477, 6.315}, {0.80, 15, .418, 8.511}, {0.80, 20, .381, 10.485},
		{0.70, 20, .214, 7.407}, {0.75, 20, .288, 8.828}, {0.85, 20, .495, 12.402},
	} {
		c := withRate(1, row.rate)
		near(t, "unit", c.At(row.n), row.unit, 5.01e-4)
		total := 0.0
		for n := 1; n <= row.n; n++ {
			total += c.At(n)
		}
		near(t, "total", total, row.total, 5.01e-4)
	}
	// T1 = 100 at 80 %: 80, 70.21, 64, 51.2 at 2, 3, 4, 8 (unit model, same tables).
	c := withRate(100, 0.8)
	for n, want := range map[int]float64{2: 80, 3: 70.21, 4: 64, 8: 51.2} {
		near(t, "time", c.At(n), want, 5e-3)
	}
	near(t, "exponent", c.Exponent, -.32193, 5e-6)
}

func TestFitFindsTheCurve(t *testing.T) {
	// The times of the table above have to give their own rate back.
	times := make([]float64, 12)
	for i := range times {
		times[i] = withRate(100, 0.8).At(i + 1)
	}
	c, err := FitLearning(times)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rate", c.Rate(), 0.8, 1e-9)
	near(t, "first", c.First, 100, 1e-6)
	next := c.Next(2, 0.9)
	near(t, "forecast", next[1].Time, withRate(100, 0.8).At(14), 1e-6)
	times[3] *= 1.2
	c, _ = FitLearning(times)
	if f := c.Next(1, 0.9)[0]; !(f.Shortest < f.Time && f.Time < f.Most) {
		t.Errorf("no interval around a scattered curve: %+v", f)
	}
}

func TestFitRefuses(t *testing.T) {
	for _, bad := range [][]float64{nil, {1, 2}, {1, 0, 2}, {1, -1, 2}, {1, math.NaN(), 2}, {1, math.Inf(1), 2}} {
		if _, err := FitLearning(bad); err == nil {
			t.Errorf("%v was fitted", bad)
		}
	}
}
