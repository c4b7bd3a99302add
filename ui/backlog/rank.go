package backlog

import (
	"slices"
	"time"

	"shedbell/line"
)

// Item is an open trouble with what it has cost.
type Item struct {
	line.Trouble
	Cost time.Duration
}

// ranked lists the open troubles, the dearest first and the oldest first among
// equals.
func ranked(s *line.State, cost map[int64]time.Duration) []Item {
	out := make([]Item, len(s.Backlog))
	for i, t := range s.Backlog {
		out[i] = Item{Trouble: t, Cost: cost[t.ID]}
	}
	slices.SortStableFunc(out, func(a, b Item) int {
		switch {
		case a.Cost > b.Cost:
			return -1
		case a.Cost < b.Cost:
			return 1
		}
		return 0
	})
	return out
}
