package backlog

import (
	"cmp"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/records"
)

// item is an open trouble with what it has cost.
type item struct {
	line.Trouble
	cost time.Duration
}

// ranked lists the open troubles, the dearest first and the oldest first among
// equals. Costs are those of the book, which may not be read yet.
func ranked(s *line.State, book *records.Book) []item {
	cost := map[int64]time.Duration{}
	if book != nil {
		for _, t := range book.Backlog(false) {
			cost[t.ID] = t.Cost
		}
	}
	out := make([]item, len(s.Backlog))
	for i, t := range s.Backlog {
		out[i] = item{t, cost[t.ID]}
	}
	slices.SortStableFunc(out, func(a, b item) int { return cmp.Compare(b.cost, a.cost) })
	return out
}
