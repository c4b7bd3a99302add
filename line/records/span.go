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

// edge is an instant at which there is one more or one less of something.
type edge struct {
	at int64
	d  int
}
