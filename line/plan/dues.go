package plan

import (
	"context"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
)

// Dues says of each due time of the day by when what it is for is cold in nine days of
// ten, the first due in front. Where that is too late, it says whether doing that crop
// first saves it, and what the day pays.
func Dues(ctx context.Context, s *line.State, now time.Time, advice line.Advice, n int, delays rehearse.Delays, seed uint64) ([]line.Risk, error) {
	type key struct {
		crop string
		due  int64
	}
	at := map[key]int{}
	var out []line.Risk
	var batches [][]int
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Due.IsZero() || b.Fate != line.Waiting && b.Fate != line.OnLine {
			continue
		}
		k := key{b.Crop, b.Due.UnixNano()}
		if _, ok := at[k]; !ok {
			at[k] = len(out)
			out, batches = append(out, line.Risk{Crop: b.Crop, Due: b.Due}), append(batches, nil)
		}
		batches[at[k]] = append(batches[at[k]], b.ID)
	}
	if len(out) == 0 {
		return nil, nil
	}
	cold, end, err := ColdBy(ctx, s, now, advice, n, delays, seed)
	if err != nil {
		return nil, err
	}
	for i := range out {
		r := &out[i]
		if r.Sure = last(cold, batches[i]); r.Slack() >= 0 {
			continue
		}
		first, longer, err := ColdBy(ctx, s, now, first(advice, batches[i]), n, delays, seed)
		if err != nil {
			return nil, err
		}
		if saved := last(first, batches[i]); !saved.After(r.Due) {
			r.First, r.Costs = saved, max(0, longer.Sub(end))
		}
	}
	slices.SortStableFunc(out, func(a, b line.Risk) int { return a.Due.Compare(b.Due) })
	return out, nil
}

func last(cold map[int]time.Time, batches []int) (at time.Time) {
	for _, id := range batches {
		if cold[id].After(at) {
			at = cold[id]
		}
	}
	return at
}

// first is advice that puts some batches before all others.
func first(v line.Advice, batches []int) line.Advice {
	order := v.Order
	v.Order = func(batch int, k line.Kind) int {
		switch {
		case slices.Contains(batches, batch):
			return -1 << 20
		case order != nil:
			return order(batch, k)
		}
		return batch
	}
	return v
}
