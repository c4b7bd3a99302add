package records

import (
	"cmp"
	"slices"
	"time"

	"shedbell/line"
)

// Trouble is an item of the backlog with what it has cost so far.
type Trouble struct {
	ID          int64
	Since       time.Time
	By          string
	At          line.Place
	Where       string
	What        string
	Effect      line.Effect
	SlowPercent int
	Mended      time.Time // zero: still open
	How         string
	Cost        time.Duration // minutes of the line, as far as the records show them
	Basis       string        // what the cost rests on

	slot bool // a slot marked as out of use without more words
	base baseline
}

// baseline is how long a station usually takes for a tray, and how long what has
// run its time usually stands there.
type baseline struct {
	steps int
	trays int64
	spent int64
}

// enoughSteps is how many steps have to be known before a trouble for a measured
// comparison.
const enoughSteps = 5

func (r *Reader) trouble(e line.TroubleReported, rec line.Record) Trouble {
	t := Trouble{ID: rec.Seq, Since: rec.At, By: r.name(rec.By), At: e.At, Where: e.Where, What: e.What, Effect: e.Effect, SlowPercent: e.SlowPercent}
	if e.At.Station >= 0 && e.At.Station < len(r.base) {
		t.base = r.base[e.At.Station]
	}
	return t
}

func (r *Reader) addTrouble(t Trouble) {
	r.open = append(r.open, len(r.book.Troubles))
	r.book.Troubles = append(r.book.Troubles, t)
}

// slotBroken keeps a slot out of use that no trouble explains.
func (r *Reader) slotBroken(e line.SlotBroken, rec line.Record) {
	for _, i := range r.open {
		if t := &r.book.Troubles[i]; t.Effect == line.EffectOut && t.covers(e.At) {
			return
		}
	}
	r.addTrouble(Trouble{ID: rec.Seq, Since: rec.At, By: r.name(rec.By), At: e.At,
		Where: r.site.PlaceName(e.At), What: e.Why, Effect: line.EffectOut, slot: true})
}

func (t *Trouble) covers(p line.Place) bool {
	return t.At.Station == p.Station && (t.At.Slot == p.Slot || t.At.Slot == line.WholeStation)
}

func (r *Reader) mended(is func(*Trouble) bool, how string, at time.Time) {
	r.open = slices.DeleteFunc(r.open, func(i int) bool {
		t := &r.book.Troubles[i]
		if is(t) {
			t.Mended, t.How = at, how
		}
		return !t.Mended.IsZero()
	})
}

// relayTroubles finds the places of open troubles in a changed line file.
func (r *Reader) relayTroubles() {
	for _, i := range r.open {
		t := &r.book.Troubles[i]
		whole := t.At.Slot == line.WholeStation && t.At != line.Nowhere
		t.At, t.base = line.Nowhere, baseline{}
		for st := range r.site.Stations {
			if whole && r.site.Stations[st].Name == t.Where {
				t.At = line.Place{Station: st, Slot: line.WholeStation}
			}
			for slot := range r.site.Stations[st].Slots {
				if p := (line.Place{Station: st, Slot: slot}); !whole && r.site.PlaceName(p) == t.Where {
					t.At = p
				}
			}
		}
	}
}

// stepDone learns how long a station takes and charges what is longer to the
// troubles there.
func (r *Reader) stepDone(at line.Place, u run, trays int, now int64) {
	if u.hand {
		return // says nothing about the machine
	}
	spent := now - u.began - u.idle // held time is not run time
	if u.planned > 0 {
		spent = max(0, now-u.due()) // a countdown is as long as it was set
	}
	clean := true
	for _, i := range r.open {
		t := &r.book.Troubles[i]
		if !t.covers(at) {
			continue
		}
		clean = false
		if t.Effect == line.EffectOut {
			continue
		}
		switch {
		case t.base.steps >= enoughSteps:
			usual := t.base.spent * int64(trays) / max(1, t.base.trays)
			t.Cost += time.Duration(max(0, spent-usual))
			t.Basis = "longer than the steps there before it"
		case t.SlowPercent > 0:
			took := now - u.began - u.idle
			t.Cost += time.Duration(took - took*100/int64(100+t.SlowPercent))
			t.Basis = "the percentage that was put down"
		}
	}
	if clean && trays > 0 && at.Station >= 0 && at.Station < len(r.base) {
		b := &r.base[at.Station]
		b.steps++
		b.trays += int64(trays)
		b.spent += spent
	}
}

// costs charges the waits of the day for a place out of use to its trouble.
func (d *dayFold) costs() {
	from, to := ns(d.day.Opened), ns(d.day.Closed)
	for i := range d.r.book.Troubles {
		t := &d.r.book.Troubles[i]
		_, st := d.station(t.At.Station)
		if t.Effect != line.EffectOut || st == nil {
			continue
		}
		out := span{max(from, ns(t.Since)), to}
		if !t.Mended.IsZero() {
			out.to = min(to, ns(t.Mended))
		}
		for k := range d.waits {
			w := &d.waits[k]
			goal := d.atRow(w.row)
			if goal == nil || goal.Kind != st.Kind {
				continue
			}
			if over := min(out.to, w.to-w.hands-w.walk) - max(out.from, w.from); over > 0 {
				t.Cost += time.Duration(over)
				t.Basis = "waits for a free place there while it was out of use"
			}
		}
	}
}

// Backlog lists the open troubles, the dearest first. With all, those that were
// mended follow.
func (b *Book) Backlog(all bool) []Trouble {
	var out []Trouble
	for i := range b.Troubles {
		if t := &b.Troubles[i]; all || t.Mended.IsZero() {
			out = append(out, *t)
		}
	}
	slices.SortStableFunc(out, func(x, y Trouble) int {
		if x.Mended.IsZero() != y.Mended.IsZero() {
			if x.Mended.IsZero() {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(y.Cost, x.Cost), cmp.Compare(x.ID, y.ID))
	})
	return out
}
