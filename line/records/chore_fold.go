package records

import (
	"cmp"
	"slices"
	"time"

	"shedbell/line"
)

func (d *dayFold) startChore(e line.ChoreStarted, by string, at int64) {
	row, st := d.station(e.At.Station)
	if st == nil {
		return
	}
	c := &choreRun{e: e, row: row, run: run{on: true, from: at, start: at, began: at, load: e.Load, by: by}}
	c.hands = e.Planned == 0 || st.Hands == line.HandsThroughout && e.Kind != line.ChangeWater
	if !c.hands {
		c.run.planned = int64(e.Planned)
		start, _ := handsAt(st)
		d.spendAt(nil, row, HandsOn, d.errand(by, max(at-start, ns(d.day.Opened)), at))
	}
	d.chore[e.ID] = c
	if e.Load != line.NoLoad {
		d.powerFound(at)
	}
}

func (d *dayFold) holdChore(c *choreRun, at int64) {
	if !c.run.on || c.run.held {
		return
	}
	d.stopChore(c, at)
	c.run.held, c.run.stopped = true, at
}

func (d *dayFold) stopChore(c *choreRun, at int64) {
	u := &c.run
	if !u.on || u.held {
		return
	}
	if c.hands {
		d.works(u.by, nil, c.row, u.from, at)
	} else {
		due := max(u.from, min(at, u.due()))
		d.spendAt(nil, c.row, Machine, due-u.from)
		d.spendAt(nil, c.row, WaitDry, at-due)
	}
	d.ran(u, at)
	if c.e.Kind == line.ChangeWater {
		d.during(waterChanged, c.row, 0, u.from, at)
	}
	d.day.Stations[c.row].Busy += time.Duration(at - u.from)
	u.from = at
}

func (d *dayFold) finishChore(e line.ChoreFinished, rec line.Record, at int64) {
	c := d.chore[e.ID]
	if c == nil {
		return
	}
	d.stopChore(c, at)
	over := c.run
	if over.held {
		over.idle += at - over.stopped
	}
	d.ranStep(StepRan{Step: c.e.Kind.String(), Crop: d.r.name(c.e.Crop), Trays: c.e.Trays}, over, c.row, rec)
	delete(d.chore, e.ID)
	d.learnChore(c, at)
	if !d.r.book.Filter.Narrow() {
		s := &d.day.Stations[c.row]
		s.Steps++
		s.Trays += c.e.Trays
	}
	r := d.r
	switch c.e.Kind {
	case line.ChangeWater:
		r.waterChanged(c, rec, &d.day)
	case line.SanitizeAll:
		clear(r.basket)
	case line.SowTrays:
		r.sow(c, rec)
	default:
		r.stepDone(c.e.At, c.run, c.e.Trays, at)
	}
}

func (r *Reader) waterChanged(c *choreRun, rec line.Record, day *Day) {
	w := WaterChange{From: time.Unix(0, c.run.began).In(rec.At.Location()), To: rec.At, By: r.name(rec.By),
		Place: day.Stations[c.row].Name, Date: day.Date}
	if v, ok := r.water[c.e.At.Station]; ok {
		w.Batches = slices.Clone(r.book.Vessels[v].Batches)
		delete(r.water, c.e.At.Station)
	}
	if r.book.Filter.Day(day.Date) {
		r.book.Waters = append(r.book.Waters, w)
	}
}

// intoVessel notes which water and which basket a batch has been in.
func (r *Reader) intoVessel(b *Batch, st *line.Station, at line.Place, when time.Time) {
	var v int
	var ok bool
	switch st.Kind {
	case line.Wash:
		if v, ok = r.water[at.Station]; !ok {
			v = r.newVessel(Vessel{Place: r.name(st.Name), Since: when})
			r.water[at.Station] = v
		}
	case line.Spin:
		if v, ok = r.basket[at]; !ok {
			v = r.newVessel(Vessel{Basket: true, Place: r.name(r.site.PlaceName(at)), Since: when})
			r.basket[at] = v
		}
	default:
		return
	}
	if !slices.Contains(b.Vessels, v) {
		b.Vessels = append(b.Vessels, v)
		r.book.Vessels[v].Batches = append(r.book.Vessels[v].Batches, b.ID)
	}
}

func (r *Reader) newVessel(v Vessel) int {
	r.book.Vessels = append(r.book.Vessels, v)
	return len(r.book.Vessels) - 1
}

func (r *Reader) sow(c *choreRun, rec line.Record) {
	s := Sowing{Seq: rec.Seq, At: rec.At, By: r.name(rec.By), Crop: r.name(c.e.Crop), Trays: c.e.Trays}
	if seed, ok := r.seeds[c.e.Crop]; ok {
		s.SeedLot, s.Supplier = r.name(seed.SeedLot), r.name(seed.Supplier)
	}
	r.book.Sowings = append(r.book.Sowings, s)
	r.grows = r.grows.Add(line.Grown{Sowing: s.Seq, Crop: s.Crop, Sown: s.At, SeedLot: s.SeedLot, Trays: s.Trays})
}

// seedsFor finds the sowings that trays cut now came from.
func (r *Reader) seedsFor(crop string, trays int, now time.Time) []int {
	recipe, ok := r.book.Recipes.Current(crop)
	if !ok {
		recipe.Crop = crop
	}
	var out []int
	cut, rest := r.grows.Cut(&recipe, trays, now)
	for _, g := range cut {
		if i, ok := slices.BinarySearchFunc(r.book.Sowings, g.Sowing, func(s Sowing, seq int64) int { return cmp.Compare(s.Seq, seq) }); ok {
			out = append(out, i)
		}
	}
	r.grows = rest
	return out
}
