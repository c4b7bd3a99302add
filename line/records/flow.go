package records

import (
	"cmp"
	"slices"
	"time"

	"shedbell/line"
)

// Flow is how a day's work went through the line.
type Flow struct {
	HoursATray  float64 // hours that people were there, all together, a tray
	TraysAnHour float64
	Takt        time.Duration // time there was a tray asked for
	WIP         float64       // batches on the line, mean from the first cut to the last cold
	Rate        float64       // batches an hour
	Lead        time.Duration // mean time of a batch on the line
	Cycles      []Cycle       // stations for greens and for trays, and the hands
	Bottleneck  Bottleneck
}

// Cycle is how often a station, or the hands, can give a tray, and how much of the
// day they were at it.
type Cycle struct {
	Name    string
	Kind    line.Kind
	Hands   bool // the people, not a station
	Circuit bool // a circuit whose loads kept each other off
	PerTray time.Duration
	Load    float64 // part of its time that it was busy, 0 to 1
	Busy    time.Duration
	Places  int
}

// Bottleneck is what held the day up most.
type Bottleneck struct {
	Cycle
	// SaveAtMost is what one more of it could save: the next busiest holds the day up
	// then. It is a bound, not a forecast.
	SaveAtMost time.Duration
	Next       string   // the next busiest
	OneMore    *OneMore // nil: not rehearsed
}

func (d *dayFold) flow() Flow {
	day := &d.day
	f := Flow{}
	var sum, first, last int64
	n := 0
	for _, l := range d.order {
		if l.began == 0 {
			continue
		}
		end := ns(day.Closed)
		if l.over {
			end = l.began + int64(l.b.Shares.Total())
		}
		n++
		sum += end - l.began
		if first == 0 || l.began < first {
			first = l.began
		}
		last = max(last, end)
	}
	f.WIP = d.workInProgress(first, last)
	if span := time.Duration(last - first); n > 0 && span > 0 {
		f.Rate = float64(n) / span.Hours()
		f.Lead = time.Duration(sum / int64(n))
	}
	if day.Trays > 0 {
		f.HoursATray = day.Length().Hours() * float64(day.Crew) / float64(day.Trays)
		if h := day.Length().Hours(); h > 0 {
			f.TraysAnHour = float64(day.Trays) / h
		}
	}
	if day.Asked > 0 {
		f.Takt = day.available() / time.Duration(day.Asked)
	}
	f.Cycles = d.cycles()
	f.Bottleneck = bottleneckOf(f.Cycles)
	return f
}

// available is the time that the day had: until the first customer waited, else
// all of it.
func (d *Day) available() time.Duration {
	if d.DueAt.After(d.Opened) {
		return d.DueAt.Sub(d.Opened)
	}
	return d.Length()
}

// workInProgress counts the batches on the line as they come and go, so that it
// does not rest on their times as Little's law does.
func (d *dayFold) workInProgress(first, last int64) float64 {
	if last <= first {
		return 0
	}
	var edges []level
	for _, l := range d.order {
		if l.began == 0 {
			continue
		}
		end := ns(d.day.Closed)
		switch {
		case !l.b.Cold.IsZero():
			end = ns(l.b.Cold)
		case l.over:
			end = l.began + int64(l.b.Shares.Total())
		}
		edges = append(edges, level{l.began, 1}, level{end, -1})
	}
	slices.SortFunc(edges, func(a, b level) int { return cmp.Or(cmp.Compare(a.at, b.at), a.n-b.n) })
	area, n, at := 0.0, 0, first
	for _, e := range edges {
		area += float64(n) * float64(e.at-at)
		n, at = n+e.n, e.at
	}
	return area / float64(last-first)
}

func (d *dayFold) cycles() []Cycle {
	day := &d.day
	length := day.Length()
	if length <= 0 {
		return nil
	}
	var out []Cycle
	for i := range day.Stations {
		s := &day.Stations[i]
		if s.Busy <= 0 {
			continue
		}
		c := Cycle{Name: s.Name, Kind: s.Kind, Busy: s.Busy, Places: s.Slots, Load: float64(s.Busy) / float64(length) / float64(s.Slots)}
		if s.Trays > 0 {
			c.PerTray = s.Busy / time.Duration(s.Trays*s.Slots)
		}
		out = append(out, c)
	}
	out = append(out, d.circuitCycles()...)
	crew := max(1, day.Crew)
	hands := Cycle{Name: "hands", Hands: true, Busy: day.Hands, Places: crew, Load: float64(day.Hands) / float64(length) / float64(crew)}
	if day.Trays > 0 {
		hands.PerTray = day.Hands / time.Duration(day.Trays*crew)
	}
	return append(out, hands)
}

func bottleneckOf(cycles []Cycle) Bottleneck {
	var b Bottleneck
	second := -1.0
	for _, c := range cycles {
		if c.Load > b.Load {
			b.Cycle = c
		}
	}
	for _, c := range cycles {
		if c.Name != b.Name && c.Load > second {
			second, b.Next = c.Load, c.Name
			b.SaveAtMost = b.Busy/time.Duration(max(1, b.Places)) - c.Busy/time.Duration(max(1, c.Places))
		}
	}
	b.SaveAtMost = max(0, b.SaveAtMost)
	return b
}
