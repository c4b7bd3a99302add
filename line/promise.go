package line

import (
	"slices"
	"time"
)

// PromiseEvery is how long at least lies between two forecasts that are kept.
const PromiseEvery = time.Hour

// PromiseParts is how many quantiles of the day's end are kept: those of 5, 10, ... 95 %.
const PromiseParts = 19

// KeepPromise keeps a forecast of the day's end, so that it can be compared with what
// came of it.
type KeepPromise struct {
	Ends     []time.Time // quantiles of the rehearsed ends, in order
	P50, P90 time.Time   // as they were shown
}

// Promised is a forecast that was kept.
type Promised struct {
	Seconds []int // from the record's instant to the quantiles
	P50     time.Time
	P90     time.Time
}

func (c KeepPromise) decide(d *draft) *Refusal {
	switch {
	case d.s.Sheet == nil:
		return refuse(RuleDay, "line.no-day")
	case !d.s.LastPromise.IsZero() && d.now.Sub(d.s.LastPromise) < PromiseEvery:
		return refuse(RuleNothing, "line.promise-soon")
	case len(c.Ends) != PromiseParts || !slices.IsSortedFunc(c.Ends, time.Time.Compare) || c.P90.Before(c.P50):
		return refuse(RuleValue, "line.promise-what")
	}
	e := Promised{P50: c.P50, P90: c.P90}
	for _, end := range c.Ends {
		e.Seconds = append(e.Seconds, int(max(0, end.Sub(d.now)).Seconds()))
	}
	d.emit(e)
	return nil
}

func (e Promised) apply(s *State, r Record) { s.LastPromise = r.At }
