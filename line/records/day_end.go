package records

import (
	"slices"
	"time"

	"shedbell/line"
)

// endDay closes the account of a day and keeps it if the filter asks for it.
func (r *Reader) endDay(at time.Time, open bool) {
	d := r.day
	r.day = nil
	end := ns(at)
	for _, l := range d.order {
		if !l.over {
			d.stop(l, end)
			if l.since != 0 {
				d.waited(l, max(l.where, 0), end, 0, "")
			}
		}
	}
	for _, c := range d.chore {
		d.stopChore(c, end)
	}
	d.powerFound(end)
	d.day.Closed, d.day.Open = at, open
	power := union(d.power)
	busy := allBusy(slices.Clone(d.hands), d.crew).less(power)
	for i := range d.waits {
		d.share(&d.waits[i], power, busy)
	}
	d.costs()
	d.folks(power)
	d.day.Hands = handsTime(d.hands, d.crew)
	d.sums()
	d.day.Flow = d.flow()
	d.keep()
}

// share splits a wait: the hands and the walk at its end, then what was blocked,
// then what only waited.
func (d *dayFold) share(w *wait, power, busy spans) {
	to := w.to - w.hands
	d.spend(w.b, w.station, HandsOn, to, w.to)
	walked := max(w.from, to-w.walk)
	d.spend(w.b, w.station, Walking, walked, to)
	to = walked
	blocked := int64(power.within(w.from, to))
	d.spend(w.b, w.station, BlockedPower, 0, blocked)
	hands := int64(busy.within(w.from, to))
	d.spend(w.b, w.station, BlockedHands, 0, hands)
	what := WaitDry
	if w.wet {
		what = WaitWet
		w.b.b.Wet += time.Duration(w.to - w.from)
	}
	d.spend(w.b, w.station, what, 0, to-w.from-blocked-hands)
}

// handsTime is the work by hand of everybody together: no more people work at a
// time than there are.
func handsTime(work []span, crew []level) (sum time.Duration) {
	most := 1
	for _, c := range crew {
		most = max(most, c.n)
	}
	for n := 1; n <= most; n++ {
		sum += atLeast(work, crew, n).total()
	}
	return sum
}

// atLeast is when n pieces of work went on with n people there.
func atLeast(work []span, crew []level, n int) spans {
	levels := []level{{crewStart(crew), n}}
	busy := allBusy(work, levels)
	var there []span
	for i, c := range crew {
		to := int64(1<<63 - 1)
		if i+1 < len(crew) {
			to = crew[i+1].at
		}
		if c.n >= n {
			there = append(there, span{c.at, to})
		}
	}
	absent := spans{{-1 << 62, 1<<63 - 1}}.less(union(there))
	return busy.less(absent)
}

func crewStart(crew []level) int64 {
	if len(crew) > 0 {
		return crew[0].at
	}
	return 0
}

// folks makes each person's shares of the day. They add up to the day: what is
// neither work nor walk nor blocked by power is free.
func (d *dayFold) folks(power spans) {
	whole := span{ns(d.day.Opened), ns(d.day.Closed)}
	clip := func(s spans) spans { return s.less(spans{{-1 << 62, whole.from}, {whole.to, 1<<63 - 1}}) }
	for _, name := range d.names {
		p := d.people[name]
		hands := clip(union(p.hands))
		walk := clip(union(p.walk)).less(hands)
		blocked := clip(power).less(hands).less(walk)
		out := Person{Name: name}
		out.Shares[HandsOn], out.Shares[Walking], out.Shares[BlockedPower] = hands.total(), walk.total(), blocked.total()
		out.Shares[Free] = time.Duration(whole.to-whole.from) - out.Shares.Total()
		d.day.People = append(d.day.People, out)
	}
}

func (d *dayFold) sums() {
	for _, l := range d.order {
		b := &l.b
		d.day.Batches++
		if b.Fate == line.Cold {
			d.day.Trays += b.Trays
			d.day.NetG += b.NetG
		}
		if !l.over && b.Fate == line.Waiting && l.began != 0 {
			b.Fate = line.OnLine
		}
	}
}

// keep puts the day into the book as far as the filter asks for it.
func (d *dayFold) keep() {
	book := d.r.book
	if !book.Filter.day(d.day.Date) {
		return
	}
	d.day.first = len(book.Batches)
	kept := 0
	for _, l := range d.order {
		if !book.Filter.batch(&l.b) {
			continue
		}
		kept++
		book.Batches = append(book.Batches, l.b)
	}
	if kept == 0 && (book.Filter.Crop != "" || book.Filter.Lot != "") {
		return
	}
	book.Days = append(book.Days, d.day)
	book.Steps = append(book.Steps, d.steps...)
}
