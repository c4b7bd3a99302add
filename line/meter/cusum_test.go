package meter_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/meter"
)

// Mean run lengths of the two-sided scheme with k = 0.5, by the shift of the mean in
// standard deviations: Montgomery, Introduction to Statistical Quality Control, the table
// of ARLs of the tabular CUSUM, after Hawkins (1993); from memory.
func TestRunLengthsOfTheTable(t *testing.T) {
	for _, tc := range []struct{ h, shift, want float64 }{
		{4, 0, 168}, {4, 0.5, 26.6}, {4, 1, 8.38}, {4, 1.5, 4.75}, {4, 2, 3.34}, {4, 3, 2.19}, {4, 4, 1.71},
		{5, 0, 465}, {5, 0.5, 38.0}, {5, 1, 10.4}, {5, 1.5, 5.75}, {5, 2, 4.01}, {5, 3, 2.57}, {5, 4, 2.01},
	} {
		rnd := rand.New(rand.NewPCG(17, uint64(100*tc.h+10*tc.shift)))
		const runs = 8000 // their mean is within 4 % of the true one, three times its error
		total := 0
		for range runs {
			c := meter.Cusum{K: 0.5, H: tc.h}
			for change := 0; change == 0; total++ {
				c, change = c.Add(rnd.NormFloat64() + tc.shift)
			}
		}
		if got := float64(total) / runs; got < 0.95*tc.want || got > 1.05*tc.want {
			t.Errorf("h %g, shift %g: %.2f on average, the table has %g", tc.h, tc.shift, got, tc.want)
		}
	}
}

// fansRun has a bank of six fans at medium run for some minutes, read every 5 s with the
// error of a plug meter, 2 %. It gives the minute of each finding.
func (b *bench) fansRun(minutes, fans int, rnd *rand.Rand) (found []int) {
	b.t.Helper()
	from := b.now
	for range minutes * 12 {
		amps := 2.4 * float64(fans) / 6 * (1 + 0.02*rnd.NormFloat64())
		for _, c := range b.says(5*time.Second, "shed/rack-fans", fmt.Sprintf("%.3f", amps)) {
			if _, ok := c.(line.ReportTrouble); ok {
				found = append(found, int(b.now.Sub(from).Minutes()))
			}
		}
	}
	return found
}

// One of six fans stops: it is on the backlog within 10 minutes of drying, and drying
// takes longer from then on.
func TestADeadFan(t *testing.T) {
	for seed := range uint64(20) {
		rnd := rand.New(rand.NewPCG(seed, 6))
		b := newBench(t, on("rack-fans"))
		b.do(line.MarkOn{Load: linetest.Fans, Setting: 1})
		if found := b.fansRun(60, 6, rnd); len(found) > 0 {
			t.Fatalf("found with all of them running: %v", found)
		}
		found := b.fansRun(20, 5, rnd)
		if len(found) != 1 || found[0] > 10 {
			t.Fatalf("found after %v min", found)
		}
		trouble := b.s.Backlog[0]
		if trouble.At != (line.Place{Station: linetest.Rack, Slot: line.WholeStation}) || trouble.Effect != line.EffectSlow ||
			trouble.SlowPercent < 15 || trouble.SlowPercent > 25 { // a sixth less air is a fifth more time, if time goes with air
			t.Fatalf("%+v", trouble)
		}
	}
}

// Thirty days of eight hours of drying with nothing wrong: nothing is found.
func TestNoDeadFanInAMonth(t *testing.T) {
	rnd := rand.New(rand.NewPCG(30, 6))
	b := newBench(t, on("rack-fans"))
	b.do(line.MarkOn{Load: linetest.Fans, Setting: 1})
	days := 30
	if testing.Short() {
		days = 5
	}
	if found := b.fansRun(days*8*60, 6, rnd); len(found) > 0 {
		t.Errorf("found in the minutes %v", found)
	}
}
