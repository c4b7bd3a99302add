package records

import (
	"cmp"
	"slices"
	"time"
)

// span is a stretch of time in nanoseconds since the Unix epoch.
type span struct{ from, to int64 }

// spans are stretches in order that do not touch each other.
type spans []span

func ns(t time.Time) int64 { return t.UnixNano() }

// union orders stretches and joins those that meet.
func union(all []span) spans {
	slices.SortFunc(all, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	var out spans
	for _, s := range all {
		if s.to <= s.from {
			continue
		}
		if n := len(out); n > 0 && s.from <= out[n-1].to {
			out[n-1].to = max(out[n-1].to, s.to)
			continue
		}
		out = append(out, s)
	}
	return out
}

func (s spans) total() (sum time.Duration) {
	for _, x := range s {
		sum += time.Duration(x.to - x.from)
	}
	return sum
}

// within is the part of a stretch that the spans cover.
func (s spans) within(from, to int64) (sum time.Duration) {
	i, _ := slices.BinarySearchFunc(s, from, func(x span, at int64) int {
		if x.to <= at {
			return -1
		}
		return 1
	})
	for ; i < len(s) && s[i].from < to; i++ {
		sum += time.Duration(min(to, s[i].to) - max(from, s[i].from))
	}
	return sum
}

// free is what of a stretch the spans leave.
func (s spans) free(x span) spans {
	i, _ := slices.BinarySearchFunc(s, x.from, func(s span, at int64) int {
		if s.to <= at {
			return -1
		}
		return 1
	})
	k := i
	for k < len(s) && s[k].from < x.to {
		k++
	}
	return spans{x}.less(s[i:k])
}

// less is what is left of s without the other spans.
func (s spans) less(other spans) spans {
	if len(other) == 0 {
		return s
	}
	out := make(spans, 0, len(s)+len(other))
	for _, x := range s {
		for len(other) > 0 && other[0].to <= x.from {
			other = other[1:]
		}
		at := x.from
		for _, o := range other {
			if o.from >= x.to {
				break
			}
			if o.from > at {
				out = append(out, span{at, o.from})
			}
			at = max(at, o.to)
		}
		if at < x.to {
			out = append(out, span{at, x.to})
		}
	}
	return out
}

// level is how many of something there are from an instant on.
type level struct {
	at int64
	n  int
}

// edge is an instant at which work begins or ends, or the number of people changes.
type edge struct {
	at   int64
	d    int
	crew int // new number of people; 0: unchanged
}

// edgesOf puts work and people in the order of time, into a slice that is used
// again. No two of the levels may have the same instant.
func edgesOf(edges []edge, work []span, crew []level) []edge {
	edges = edges[:0]
	for _, w := range work {
		if w.to > w.from {
			edges = append(edges, edge{w.from, 1, 0}, edge{w.to, -1, 0})
		}
	}
	for _, c := range crew {
		edges = append(edges, edge{c.at, 0, max(1, c.n)})
	}
	slices.SortFunc(edges, func(a, b edge) int { return cmp.Or(cmp.Compare(a.at, b.at), a.d-b.d) })
	return edges
}

// allBusy is when at least as many pieces of work go on as there are people.
func allBusy(edges []edge) spans {
	var out []span
	busy, people, since := 0, 1, int64(-1)
	for _, e := range edges {
		busy += e.d
		if e.crew > 0 {
			people = e.crew
		}
		switch full := busy >= people; {
		case full && since < 0:
			since = e.at
		case !full && since >= 0:
			out = append(out, span{since, e.at})
			since = -1
		}
	}
	return union(out)
}
