package plan

import (
	"context"
	"errors"
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
	ends := make([]time.Time, n)
	if err := days(ctx, s, now, advice, n, delays, seed, func(i int, res *rehearse.Result) { ends[i] = res.Finish }); err != nil {
		return nil, err
	}
	slices.SortFunc(ends, time.Time.Compare)
	return ends, nil
}

// ColdBy is by when each batch is cold in 90 percent of n such days, and by when the day
// is over in half of them.
func ColdBy(ctx context.Context, s *line.State, now time.Time, advice line.Advice, n int, delays rehearse.Delays, seed uint64) (cold map[int]time.Time, end time.Time, err error) {
	ends := make([]time.Time, n)
	batches := make([][]time.Time, len(s.Batches))
	for i := range batches {
		batches[i] = make([]time.Time, n)
	}
	err = days(ctx, s, now, advice, n, delays, seed, func(i int, res *rehearse.Result) {
		ends[i] = res.Finish
		for k := range batches {
			batches[k][i] = res.Final.Batches[k].ColdAt
		}
	})
	if err != nil {
		return nil, end, err
	}
	cold = make(map[int]time.Time, len(batches))
	for k, at := range batches {
		slices.SortFunc(at, time.Time.Compare)
		cold[s.Batches[k].ID] = Quantile(at, 90)
	}
	slices.SortFunc(ends, time.Time.Compare)
	return cold, Quantile(ends, 50), nil
}

// days rehearses the rest of the day n times and hands each over.
func days(ctx context.Context, s *line.State, now time.Time, advice line.Advice, n int, delays rehearse.Delays, seed uint64, each func(i int, res *rehearse.Result)) error {
	const workers = 2
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
				each(i, res)
			}
		})
	}
	wg.Wait()
	return errors.Join(errs...)
}

// Quantile is the earliest instant by which so many percent of the sorted ends have
// come (the nearest rank).
func Quantile(ends []time.Time, percent int) time.Time {
	return ends[max(0, (len(ends)*percent+99)/100-1)]
}
