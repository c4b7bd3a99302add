package backlog

import (
	"cmp"
	"slices"
	"time"

	"shedbell/line"
)

// item is an open trouble with what it has cost.
type item struct {
	line.Trouble
	cost time.Duration
}

// ranked lists the open troubles, the dearest first and the oldest first among
// equals, by costs that may not be known yet.
func ranked(s *line.State, costs map[int64]time.Duration) []item {
	out := make([]item, len(s.Backlog))
	for i, t := range s.Backlog {
		out[i] = item{t, costs[t.ID]}
	}
	slices.SortStableFunc(out, func(a, b item) int { return cmp.Compare(b.cost, a.cost) })
	return out
}
