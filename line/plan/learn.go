package plan

import (
	"math"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
	"shedbell/recipes"
)

// enough is how many times something must have been seen before it is believed.
const enough = 20

// LearnDelays finds out from a journal's records how people differ from a clock: how
// long after a countdown its end is confirmed, beyond the time that the work of it
// takes, and how much work by hand varies. What was not seen often enough is taken
// from rehearse.Typical.
//
// Spreads are measured by the median absolute deviation of the logarithm, so that
// one break for lunch does not count for much. A person who is busy elsewhere reacts
// late too; that is left in, so the median is on the careful side.
func LearnDelays(records []line.Record) rehearse.Delays {
	var react, factor []float64
	var s *line.State
	for _, r := range records {
		if e, ok := r.Event.(line.LineLaid); ok && s == nil {
			site := e.Site
			s = line.NewState(&site, recipes.NewBook(e.Recipes...))
		}
		if s == nil {
			continue
		}
		if e, ok := r.Event.(line.StepFinished); ok {
			if b := s.Batch(e.Batch); b != nil && b.Fate == line.OnLine {
				observe(s, b, r.At, &react, &factor)
			}
		}
		s = line.Apply(s, r)
	}
	d := rehearse.Typical
	if len(react) >= enough {
		mid, spread := logs(react)
		d.React, d.ReactSigma = time.Duration(math.Exp(mid)*float64(time.Second)).Round(100*time.Millisecond), spread
	}
	if len(factor) >= enough {
		_, d.WorkSigma = logs(factor)
	}
	return d
}

// observe notes what the end of a batch's step says about people. Reactions are in
// seconds.
func observe(s *line.State, b *line.Batch, at time.Time, react, factor *[]float64) {
	station := b.Step.Place.Station
	if due, ok := b.Step.DueAt(); ok {
		late := at.Sub(due) - s.Site.HandsAtEnd(station)
		if !due.After(at) {
			*react = append(*react, max(1, late.Seconds()))
		}
		return
	}
	want := line.Advice{}.HandTime(s, b.Step.Place, b.Crop, b.Trays, "")
	if took := b.Step.Ran(at); want > 0 && took > 0 && b.Step.Progress == line.Running {
		*factor = append(*factor, took.Seconds()/want.Seconds())
	}
}

// logs is the median of the logarithms and their spread, as the standard deviation
// that a normal distribution with the same median absolute deviation has.
func logs(values []float64) (mid, spread float64) {
	const normal = 1.4826 // 1/Phi^-1(3/4)
	x := make([]float64, len(values))
	for i, v := range values {
		x[i] = math.Log(v)
	}
	mid = median(x)
	for i := range x {
		x[i] = math.Abs(x[i] - mid)
	}
	return mid, normal * median(x)
}

func median(x []float64) float64 {
	slices.Sort(x)
	n := len(x)
	return (x[(n-1)/2] + x[n/2]) / 2
}
