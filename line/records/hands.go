package records

import (
	"cmp"
	"slices"
	"time"

	"shedbell/line"
)

// persons is what one person did on a day.
type persons struct {
	hands   []span // work by hand: errands in their order, then what was settled
	called  int    // how many of them are errands
	errands []span // with the walks before them, as they interrupt other work
	walk    []span
	here    []span // on the line
	last    int64  // end of the last errand
	work    []span // work that ties up throughout, begun last first, as far as it has been settled
}

// labour is a stretch of work by hand that ties a person up throughout.
type labour struct {
	by  *persons
	l   *live // nil: a chore
	row int
	span
}

// errand counts hands at the end of a wait or a countdown for whoever did it, as far as
// the errand before it was over. It says how long that was.
func (d *dayFold) errand(by string, from, to int64) int64 {
	if to <= from {
		return 0
	}
	p := d.person(by)
	from = max(from, p.last)
	if to <= from {
		return 0
	}
	p.last = to
	p.hands = append(p.hands, span{from, to})
	d.hands = append(d.hands, span{from, to})
	return to - from
}

// works notes work that ties a person up throughout. Whose hands did it, and how long,
// is settled when the day ends: an errand calls a person away from it.
func (d *dayFold) works(by string, l *live, row int, from, to int64) {
	if to > from {
		d.labour = append(d.labour, labour{d.person(by), l, row, span{from, to}})
	}
}

// settleHands counts each person's minutes once: errands, and of work by hand that was
// begun while other work was in hand that which was begun last. Stations and batches get
// the same minutes; where the work lay meanwhile, it waited for hands.
func (d *dayFold) settleHands() {
	for _, p := range d.people {
		p.called = len(p.hands)
	}
	slices.SortStableFunc(d.labour, func(a, b labour) int { return cmp.Compare(b.from, a.from) })
	for i := range d.labour {
		w := &d.labour[i]
		did := spans(w.by.hands[:w.by.called]).free(w.span)
		for k := len(w.by.work) - 1; k >= 0 && w.by.work[k].from < w.to; k-- {
			did = did.less(spans{w.by.work[k]})
		}
		w.by.work = append(w.by.work, w.span)
		w.by.hands, d.hands = append(w.by.hands, did...), append(d.hands, did...)
		t := int64(did.total())
		d.spendAt(w.l, w.row, HandsOn, t)
		d.spendAt(w.l, w.row, BlockedHands, w.to-w.from-t)
	}
}

// spendAt spends time of a batch, or of a chore, at a station.
func (d *dayFold) spendAt(l *live, row int, what Share, t int64) {
	switch {
	case t == 0:
	case l != nil:
		d.spend(l, row, what, 0, t)
	default:
		d.day.Shares[what] += time.Duration(t)
		if !d.r.book.Filter.Narrow() { // a chore is of no batch
			d.day.Stations[row].Shares[what] += time.Duration(t)
		}
	}
}

// crewIs says who is on the line from an instant on. Until then those were who were.
func (d *dayFold) crewIs(names []string, hours []line.Hours, at int64) {
	d.present(at)
	d.crewNow, d.hoursNow = names, hours
	here := line.State{Crew: names, Hours: hours}
	d.day.Crew = max(d.day.Crew, len(here.Here(time.Unix(0, at))))
	for _, name := range names {
		d.person(name)
	}
}

// hoursAre replaces one person's hours.
func (d *dayFold) hoursAre(e line.HoursSet, at int64) {
	names := d.crewNow
	if !slices.Contains(names, e.Name) {
		names = append(slices.Clip(names), e.Name)
	}
	rest := slices.DeleteFunc(slices.Clone(d.hoursNow), func(h line.Hours) bool { return h.Name == e.Name })
	d.crewIs(names, append(rest, e.Hours...), at)
}

// present notes who has been on the line since that was noted last.
func (d *dayFold) present(to int64) {
	from := d.crewAt
	d.crewAt = to
	if to <= from || from == 0 {
		return
	}
	for _, name := range d.crewNow {
		p, all := d.person(name), true
		for i := range d.hoursNow {
			if h := &d.hoursNow[i]; h.Name == name {
				all = false
				s := span{from, to}
				if !h.From.IsZero() {
					s.from = max(s.from, ns(h.From))
				}
				if !h.To.IsZero() {
					s.to = min(s.to, ns(h.To))
				}
				if s.to > s.from {
					p.here = append(p.here, s)
				}
			}
		}
		if all {
			p.here = append(p.here, span{from, to})
		}
	}
}

// levels is how many people were on the line from each instant on.
func (d *dayFold) levels() []level {
	var edges []edge
	for _, name := range d.names {
		for _, s := range union(d.people[name].here) {
			edges = append(edges, edge{at: s.from, d: 1}, edge{at: s.to, d: -1})
		}
	}
	slices.SortFunc(edges, func(a, b edge) int { return cmp.Compare(a.at, b.at) })
	out, n := d.crew[:0], 0
	for i, e := range edges {
		n += e.d
		if i+1 == len(edges) || edges[i+1].at != e.at {
			out = append(out, level{e.at, n})
			d.day.Crew = max(d.day.Crew, n)
		}
	}
	return out
}
