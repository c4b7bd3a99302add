package pages

import (
	"cmp"
	"slices"
	"time"

	"shedbell/line"
)

// rankedTrouble is an open trouble with what it has cost.
type rankedTrouble struct {
	line.Trouble
	cost time.Duration
}

// rankedTroubles lists the open troubles, the dearest first and the oldest first among
// equals, by costs that may not be known yet.
func rankedTroubles(s *line.State, costs map[int64]time.Duration) []rankedTrouble {
	out := make([]rankedTrouble, len(s.Backlog))
	for i, t := range s.Backlog {
		out[i] = rankedTrouble{t, costs[t.ID]}
	}
	slices.SortStableFunc(out, func(a, b rankedTrouble) int { return cmp.Compare(b.cost, a.cost) })
	return out
}
