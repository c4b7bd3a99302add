package breaker

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// UL 489 calibration as reproduced by makers: 100 % holds, 135 % trips within
// 1 h, 200 % within 2 min for ratings up to 30 A. The rows above 30 A are from
// memory.
func TestUL489Points(t *testing.T) {
	for _, c := range []struct{ rating, at135, at200 float64 }{
		{15, 3600, 120}, {20, 3600, 120}, {30, 3600, 120}, {50, 3600, 240}, {100, 7200, 360},
	} {
		k := For(UL489, c.rating)
		if got := k.Earliest(1.00, 0.999); !math.IsInf(got, 1) {
			t.Errorf("%v A trips at 100 %% after %v s", c.rating, got)
		}
		if got := k.Earliest(1.35, 0); got > c.at135 {
			t.Errorf("%v A at 135 %%: %v s, must trip within %v", c.rating, got, c.at135)
		}
		if got := k.Earliest(2, 0); got > c.at200 {
			t.Errorf("%v A at 200 %%: %v s, must trip within %v", c.rating, got, c.at200)
		}
		// The slowest breaker that the model allows for meets both limits, too.
		slow := *k
		slow.FastS = k.SlowS
		if got := slow.Earliest(2, 0); got > c.at200*(1+1e-9) {
			t.Errorf("%v A slowest at 200 %%: %v s", c.rating, got)
		}
		if got := slow.Earliest(1.35, 0); got > c.at135 {
			t.Errorf("%v A slowest at 135 %%: %v s", c.rating, got)
		}
	}
}

// IEC 60898-1 table 7, tests a to e.
func TestIEC60898Points(t *testing.T) {
	for _, c := range []struct {
		std        Standard
		rating     float64
		hold, trip float64 // instantaneous band
		at255      float64
	}{
		{IECB, 16, 3, 5, 60}, {IECC, 16, 5, 10, 60}, {IECD, 32, 10, 20, 60}, {IECC, 40, 5, 10, 120},
	} {
		k := For(c.std, c.rating)
		if got := k.Earliest(1.13, 0); got < 3600 {
			t.Errorf("%s test a: trips after %v s", k.Name, got)
		}
		preheated := k.Warm(0, 1.13, 3600)
		if got := k.Earliest(1.45, min(preheated, 1)); got > 3600 {
			t.Errorf("%s test b: %v s, must trip within 1 h", k.Name, got)
		}
		if got := k.Earliest(2.55, 0); got < 1-1e-9 || got > c.at255 {
			t.Errorf("%s test c: %v s, outside 1 to %v", k.Name, got, c.at255)
		}
		if got := k.ShortTime(c.hold); math.Abs(got-0.1) > 1e-9 {
			t.Errorf("%s test d: %v s, want 0.1", k.Name, got)
		}
		if got := k.Earliest(c.trip, 0); got >= 0.1 {
			t.Errorf("%s test e: %v s, must trip within 0.1", k.Name, got)
		}
		slow := *k
		slow.FastS = k.SlowS
		if got := slow.Earliest(2.55, 0); got > c.at255*(1+1e-9) {
			t.Errorf("%s slowest: %v s at 2.55 In", k.Name, got)
		}
	}
}

// More current or more heat never makes it trip later.
func TestEarliestFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := For(Standard(rapid.IntRange(0, 3).Draw(t, "std")), rapid.Float64Range(6, 120).Draw(t, "rating"))
		m := rapid.Float64Range(0.1, 25).Draw(t, "multiple")
		more := m * rapid.Float64Range(1, 2).Draw(t, "factor")
		h := rapid.Float64Range(0, 1).Draw(t, "heat")
		hotter := rapid.Float64Range(h, 1).Draw(t, "hotter")
		if a, b := k.Earliest(m, h), k.Earliest(more, h); b > a+1e-9 {
			t.Fatalf("%v x trips after %v s but %v x after %v s", m, a, more, b)
		}
		if a, b := k.Earliest(m, h), k.Earliest(m, hotter); b > a+1e-9 {
			t.Fatalf("heat %v trips after %v s but heat %v after %v s", h, a, hotter, b)
		}
	})
}

// Whatever the time constant within the range, a breaker is never hotter than
// the model says.
func TestWarmBoundsEveryBreaker(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := For(Standard(rapid.IntRange(0, 3).Draw(t, "std")), 20)
		tau := k.FastS * math.Pow(k.SlowS/k.FastS, rapid.Float64Range(0, 1).Draw(t, "tau"))
		bound, real := 0.0, 0.0
		for range rapid.IntRange(1, 40).Draw(t, "steps") {
			m := rapid.Float64Range(0, 4).Draw(t, "multiple")
			dt := rapid.Float64Range(0, 600).Draw(t, "seconds")
			bound = k.Warm(bound, m, dt)
			target := k.Target(m)
			real = target + (real-target)*math.Exp(-dt/tau)
			if real > bound+1e-9 {
				t.Fatalf("time constant %v s: heat %v above the bound %v", tau, real, bound)
			}
		}
	})
}
