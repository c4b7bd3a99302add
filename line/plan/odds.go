package plan

import (
	"context"
	"slices"
	"sync"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
)

// OddsDays is how many days FinishOdds rehearses where nothing is said.
const OddsDays = 1000

// FinishOdds rehearses the rest of the day n times, with people who follow the prompts with
// some advice and whose delays differ from day to day, and gives the instants by which
// it is over in 50 and in 90 percent of the days. The seed decides the days. It uses
// two goroutines, which have ended when it returns.
func FinishOdds(ctx context.Context, s *line.State, now time.Time, advice line.Advice, n int, delays rehearse.Delays, seed uint64) (p50, p90 time.Time, err error) {
	ends, err := Ends(ctx, s, now, advice, n, delays, seed)
	if err != nil {
		return time.Time{}, time.Time{}, err
	}
	return Quantile(ends, 50), Quantile(ends, 90), nil
}

// Ends are the instants at which the days that FinishOdds rehearses are over, in order.
func Ends(ctx context.Context, s *line.State, now time.Time, advice line.Advice, n int, delays rehearse.Delays, seed uint64) ([]time.Time, error) {
	if n <= 0 {
		n = OddsDays
	}
	const workers = 2
	ends := make([]time.Time, n)
	errs := make([]error, workers)
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for i := w; i < n; i += workers {
				res, err := rehearse.Run(ctx, s, now, rehearse.Options{Seed: seed + uint64(i), Delays: delays, Advice: advice})
				if err != nil {
					errs[w] = err
					return
				}
				ends[i] = res.Finish
			}
		})
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	slices.SortFunc(ends, time.Time.Compare)
	return ends, nil
}

// Quantile is the earliest instant by which so many percent of the sorted ends have
// come (the nearest rank).
func Quantile(ends []time.Time, percent int) time.Time {
	return ends[max(0, (len(ends)*percent+99)/100-1)]
}
