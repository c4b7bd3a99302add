package records

import (
	"slices"
	"strings"
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
	d.alarmFigures(end)
	d.present(end)
	d.crew = d.levels()
	d.settleHands()
	power := d.findCauses()
	for i := range d.waits {
		d.share(&d.waits[i])
	}
	d.costs()
	d.folks(power)
	d.sums()
	d.day.Flow = d.flow()
	d.keep()
	r.spare = d
}

// share splits a wait: the hands and the walk at its end, then what was blocked,
// then what only waited.
func (d *dayFold) share(w *wait) {
	to := w.to - w.hands
	d.spend(w.b, w.row, HandsOn, to, w.to)
	d.spend(w.b, w.row, Walking, w.free(), to)
	d.spend(w.b, w.row, BlockedPower, 0, w.byPower)
	d.spend(w.b, w.row, BlockedHands, 0, w.byHands)
	what := WaitDry
	if w.wet {
		what = WaitWet
		w.b.b.Wet += time.Duration(w.to - w.from)
	}
	d.spend(w.b, w.row, what, 0, w.free()-w.from-w.byPower-w.byHands)
}

// folks makes each person's shares of the day. They add up to the hours that they were
// on the line, and to what they did outside of those: what is neither work nor walk nor
// blocked by power is free.
func (d *dayFold) folks(power spans) {
	whole := span{ns(d.day.Opened), ns(d.day.Closed)}
	clip := func(s spans) spans { return s.less(spans{{-1 << 62, whole.from}, {whole.to, 1<<63 - 1}}) }
	for _, name := range d.names {
		p := d.people[name]
		hands := clip(union(p.hands))
		walk := clip(union(p.walk)).less(hands)
		here := union(p.here)
		if len(here) == 0 {
			here = spans{whole} // in no crew: over the net
		}
		blocked := here.less(hands).less(walk)
		free := blocked.less(power)
		out := Person{Name: name}
		out.Shares[HandsOn], out.Shares[Walking], out.Shares[BlockedPower] = hands.total(), walk.total(), blocked.total()-free.total()
		out.Shares[Free] = free.total()
		d.day.Hands += hands.total()
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
			if b.NetBy == line.Assumed {
				d.day.AssumedG += b.NetG
			}
		}
		if !l.over && b.Fate == line.Waiting && l.began != 0 {
			b.Fate = line.OnLine
		}
	}
}

// keep puts the day into the book as far as the filter asks for it.
func (d *dayFold) keep() {
	book := d.r.book
	if !book.Filter.Day(d.day.Date) {
		return
	}
	d.day.first = len(book.Batches)
	d.room()
	kept := 0
	for _, l := range d.order {
		if !book.Filter.batch(&l.b) {
			continue
		}
		kept++
		for i := range l.at {
			s := &d.day.Stations[i]
			s.Shares.Add(l.at[i].Shares)
			s.Steps, s.Trays = s.Steps+l.at[i].Steps, s.Trays+l.at[i].Trays
		}
		l.b.By = d.r.team(l.b.By)
		book.Batches = append(book.Batches, l.b)
	}
	if kept == 0 && book.Filter.Narrow() {
		return
	}
	book.Days = append(book.Days, d.day)
}

// room makes room for the batches of all days that are expected at once, as if they
// were like those so far: to grow by and by takes twice the memory.
func (d *dayFold) room() {
	book := d.r.book
	to := len(book.Batches) + len(d.order)
	if rest := d.r.ExpectDays - len(book.Days); rest > 0 && to > cap(book.Batches) {
		book.Batches = slices.Grow(book.Batches, to/(len(book.Days)+1)*(rest+rest/64+1))
		book.Days = slices.Grow(book.Days, rest)
	}
}

// team gives one list for equal lists of people, so that ten years hold each once.
func (r *Reader) team(by []string) []string {
	key := strings.Join(by, "\x00")
	kept, ok := r.teams[key]
	if !ok {
		kept = slices.Clip(by)
		r.teams[key] = kept
	}
	return kept
}
