package meter

import (
	"math"
	"time"
)

// Cusum watches values for a lasting change of their mean, by the two cumulative sums of
// Page (1954). Values come in standard deviations from the mean that they should have. K
// is half the change that is to be found soonest, H the sum that is a change.
type Cusum struct{ K, H, up, down float64 }

// Add adds a value; change is 1 or -1 once the mean is higher or lower.
func (c Cusum) Add(z float64) (next Cusum, change int) {
	c.up, c.down = max(0, c.up+z-c.K), max(0, c.down-z-c.K)
	switch {
	case c.up > c.H:
		change = 1
	case c.down > c.H:
		change = -1
	}
	return c, change
}

// How a current is watched. At these a change that is none is found once in some 400,000
// minutes of running (Siegmund's approximation, from memory), if the meter's errors are
// independent and no wider than said; a month of drying has 15,000.
const (
	driftK     = 1
	driftH     = 6
	learnsFrom = 30   // minutes of running make what is usual
	leastSigma = 0.01 // of the mean: what a plug meter wavers from minute to minute
	leastDrop  = 0.08 // a smaller one is no fan of a dozen, and the mains may have it
)

// drift watches the current of a bank of fans at one setting. Each minute's mean is a
// value; the first of a run, in which they start, is none.
type drift struct {
	setting   int
	minute    time.Time
	sum       float64
	n         int
	skip      bool
	base      []float64
	mean, dev float64
	cusum     Cusum
	lowSum    float64 // of the minutes since the sum for a lower mean was zero
	lows      int
}

// stop ends a run: what is usual stays known.
func (d *drift) stop() { d.minute, d.sum, d.n = time.Time{}, 0, 0 }

// take adds a reading. drop is by which share less than usual is drawn, once it is sure;
// then what is usual is learned anew.
func (d *drift) take(a float64, setting int, at time.Time) (drop float64) {
	if setting != d.setting {
		*d = drift{setting: setting}
	}
	minute := at.Truncate(time.Minute)
	if d.minute.IsZero() {
		d.minute, d.skip = minute, true
	}
	if minute.After(d.minute) {
		if !d.skip && d.n > 0 {
			drop = d.add(d.sum / float64(d.n))
		}
		d.minute, d.sum, d.n, d.skip = minute, 0, 0, false
	}
	d.sum, d.n = d.sum+a, d.n+1
	return drop
}

// add adds the mean of a minute.
func (d *drift) add(a float64) (drop float64) {
	if d.dev == 0 {
		if d.base = append(d.base, a); len(d.base) < learnsFrom {
			return 0
		}
		for _, x := range d.base {
			d.mean += x / learnsFrom
		}
		squares := 0.0
		for _, x := range d.base {
			squares += (x - d.mean) * (x - d.mean)
		}
		d.dev = max(math.Sqrt(squares/(learnsFrom-1)), leastSigma*d.mean)
		d.cusum = Cusum{K: driftK, H: driftH}
		return 0
	}
	change := 0
	d.cusum, change = d.cusum.Add((a - d.mean) / d.dev)
	if d.lowSum, d.lows = d.lowSum+a, d.lows+1; d.cusum.down == 0 {
		d.lowSum, d.lows = 0, 0
	}
	if change == 0 {
		return 0
	}
	if change < 0 {
		drop = 1 - d.lowSum/float64(d.lows)/d.mean
	}
	*d = drift{setting: d.setting, minute: d.minute}
	if drop < leastDrop {
		return 0
	}
	return drop
}
