package records

import (
	"slices"
	"time"

	"shedbell/line"
)

// handsAt is how long a person stands at a station at the start of a step there,
// and at its end.
func handsAt(st *line.Station) (start, end int64) {
	t := int64(st.HandsTime)
	switch st.Hands {
	case line.HandsStart:
		return t, 0
	case line.HandsEnd:
		return 0, t
	case line.HandsBoth:
		return t, t
	}
	return 0, 0
}

func byHand(st *line.Station, planned time.Duration) bool {
	return planned == 0 || st.Hands == line.HandsThroughout
}

func (d *dayFold) startStep(e line.StepStarted, by string, at int64) {
	l := d.live[e.Batch]
	row, _ := d.station(e.At.Station)
	st := d.handled(row, e.ByHand)
	if l == nil || st == nil {
		return
	}
	start, _ := handsAt(st)
	d.learnWalk(l, row, at, start, by)
	d.waited(l, row, at, start, by)
	if k := len(d.waits); k > 0 && d.waits[k-1].b == l && d.waits[k-1].to == at {
		d.waits[k-1].load, d.waits[k-1].setting = e.Load, e.Setting
	}
	if l.began == 0 {
		l.began = at
	}
	if st.Kind == line.Cut && l.b.Cut.IsZero() {
		l.b.Cut = time.Unix(0, at).In(d.day.Opened.Location())
		l.b.Seeds = d.r.seedsFor(l.b.Crop, l.b.Trays, l.b.Cut)
	}
	d.move(l, e.At)
	l.where = row
	l.run = run{on: true, from: at, start: at, began: at, load: e.Load, setting: e.Setting, by: by, hand: e.ByHand}
	if !byHand(st, e.Planned) {
		l.run.planned = int64(e.Planned)
	}
	l.worked(d.r.name(by))
	if st.Kind == line.Wash || st.Kind == line.Spin || st.Kind == line.Dry {
		l.b.Revision = e.Revision
	}
	d.r.intoVessel(&l.b, st, e.At, time.Unix(0, at).In(d.day.Opened.Location()))
	if e.Load != line.NoLoad {
		d.powerFound(at)
	}
}

// handled is the station of a row, as it works while people stand in for its machine if
// they do; nil where there is none.
func (d *dayFold) handled(row int, standIn bool) *line.Station {
	st := d.atRow(row)
	if st != nil && standIn {
		hand := st.ByHand()
		return &hand
	}
	return st
}

func (d *dayFold) rowOf(p line.Place) int {
	row, _ := d.station(p.Station)
	return row
}

func (l *live) worked(by string) {
	if by != "" && !slices.Contains(l.b.By, by) {
		l.b.By = append(l.b.By, by)
	}
}

// waited ends a batch's wait, at a station or on the way to the next. The hands at
// the end of it, and the walk before them, belong to whoever did the next thing.
func (d *dayFold) waited(l *live, row int, at, hands int64, by string) {
	walk := int64(0)
	if from := d.atRow(l.where); from != nil && l.where != row {
		walk = int64(from.Walk)
	}
	limit := ns(d.day.Opened)
	if l.since != 0 {
		limit = l.since
	}
	hands = min(hands, max(0, at-limit))
	walk = min(walk, max(0, at-limit-hands))
	hands = d.errand(by, at-hands, at)
	if hands+walk > 0 {
		p := d.person(by)
		p.errands = append(p.errands, span{at - hands - walk, at})
	}
	if walk > 0 {
		p := d.person(by)
		p.walk = append(p.walk, span{at - hands - walk, at - hands})
	}
	if l.since != 0 && at > l.since {
		d.waits = append(d.waits, wait{b: l, row: row, own: l.where, load: line.NoLoad, from: l.since, to: at, wet: l.wet, walk: walk, hands: hands})
	} else {
		d.spendAt(l, row, HandsOn, hands)
	}
	l.since = 0
}

// stop ends the present stretch of a batch's step: what ran, and what stood there
// after its countdown was over.
func (d *dayFold) stop(l *live, at int64) {
	u := &l.run
	st := d.atRow(l.where)
	if !u.on || u.held || st == nil {
		return
	}
	kind := st.Kind
	if u.planned == 0 {
		d.works(u.by, l, l.where, u.from, at)
	} else {
		due := max(u.from, min(at, u.due()))
		d.spend(l, l.where, Machine, u.from, due)
		if at > due {
			d.waits = append(d.waits, wait{b: l, row: l.where, own: l.where, out: true, load: line.NoLoad, from: due, to: at, wet: kind != line.Dry})
		}
	}
	d.ran(u, at)
	s := &d.day.Stations[l.where]
	s.Busy += time.Duration(at - u.from)
	u.from = at
}

func (d *dayFold) spend(l *live, row int, what Share, from, to int64) {
	t := time.Duration(to - from)
	if t == 0 {
		return
	}
	l.b.Shares[what] += t
	d.day.Shares[what] += t
	if d.atRow(row) != nil {
		d.of(l, row).Shares[what] += t
	}
}

// of is the account that a batch's time at a station goes to: the station's, or its
// own until it is known whether the filter asks for it.
func (d *dayFold) of(l *live, row int) *Station {
	if !d.r.book.Filter.Narrow() {
		return &d.day.Stations[row]
	}
	if row >= len(l.at) {
		l.at = append(l.at, make([]Station, row+1-len(l.at))...)
	}
	return &l.at[row]
}

func (d *dayFold) hold(p line.Place, at int64) {
	if l := d.at[p]; l != nil {
		d.holdBatch(l, at)
		return
	}
	for _, c := range d.chore {
		if c.e.At == p {
			d.holdChore(c, at)
		}
	}
}

// holdBatch stops a batch's step for now; one that was interrupted before stays
// stopped since then.
func (d *dayFold) holdBatch(l *live, at int64) {
	if !l.run.on || l.run.held {
		return
	}
	d.stop(l, at)
	l.run.held, l.run.stopped = true, at
	l.since = at
	if st := d.atRow(l.where); st != nil {
		l.wet = st.Kind == line.Wash || st.Kind == line.Spin || st.Kind == line.Dry
	}
}

func (d *dayFold) resume(e line.StepResumed, at int64) {
	u := d.runAt(e.At)
	if u == nil || !u.on {
		return
	}
	if l := d.at[e.At]; l != nil {
		if !u.held {
			return
		}
		d.waited(l, l.where, at, 0, u.by)
	}
	if u.held {
		u.idle += at - u.stopped
	}
	if e.Afresh {
		u.start, u.paused = at, 0
	} else if u.held {
		u.paused += at - u.stopped
	}
	if e.ByHand {
		u.hand, u.load, u.planned = true, line.NoLoad, 0
		if st := d.handled(d.rowOf(e.At), true); st != nil && !byHand(st, e.Planned) {
			u.planned = int64(e.Planned)
		}
	}
	u.from, u.held = at, false
	if u.load != line.NoLoad {
		d.powerFound(at)
	}
}

// giveOver has somebody else go on with work by hand.
func (d *dayFold) giveOver(e line.WorkGivenOver, at int64) {
	if l := d.at[e.At]; l != nil {
		d.stop(l, at)
	}
	for _, c := range d.chore {
		if c.e.At == e.At {
			d.stopChore(c, at)
		}
	}
	if u := d.runAt(e.At); u != nil {
		u.by = e.To
	}
}

func (d *dayFold) trip(circuit int, at int64) {
	p := &d.r.site.Panel
	d.stopLoads(func(load int) bool {
		return load >= 0 && load < len(p.Loads) && p.Loads[load].Circuit == circuit
	}, at)
	if d.block == 0 {
		d.block = at
	}
}

// stopLoads holds the steps of loads that have been off since an instant, though not
// since before they began.
func (d *dayFold) stopLoads(of func(load int) bool, at int64) {
	for _, l := range d.order {
		if l.run.on && of(l.run.load) {
			d.holdBatch(l, max(at, l.run.from))
		}
	}
	for _, c := range d.chore {
		if of(c.run.load) {
			d.holdChore(c, max(at, c.run.from))
		}
	}
}

// goOn has the held steps of a load run since it does.
func (d *dayFold) goOn(load int, at int64) {
	for _, l := range d.order {
		if l.run.on && l.run.held && l.run.load == load {
			d.resume(line.StepResumed{At: l.place}, max(at, l.run.stopped))
		}
	}
	for _, c := range d.chore {
		if c.run.on && c.run.held && c.run.load == load {
			d.resume(line.StepResumed{At: c.e.At}, max(at, c.run.stopped))
		}
	}
}

// interrupt stops what nobody watched since the last beat.
func (d *dayFold) interrupt(beat, now int64) {
	watched := func(u *run) bool { return u.on && !u.held && (u.planned > 0 || u.load != line.NoLoad) }
	for _, l := range d.order {
		if watched(&l.run) {
			d.holdBatch(l, max(beat, l.run.from))
		}
	}
	for _, c := range d.chore {
		if watched(&c.run) {
			d.holdChore(c, max(beat, c.run.from))
		}
	}
}

func (d *dayFold) finishStep(e line.StepFinished, rec line.Record, at int64) {
	l := d.live[e.Batch]
	if l == nil || !l.run.on || d.atRow(l.where) == nil {
		return
	}
	st := d.handled(l.where, l.run.hand)
	_, end := handsAt(st)
	if l.run.held {
		l.run.paused += at - l.run.stopped
		l.run.idle += at - l.run.stopped
		d.waited(l, l.where, at, 0, rec.By)
	}
	d.stop(l, at)
	if end > 0 && l.run.planned > 0 {
		d.handsAtEnd(l, rec.By, at, end)
	}
	l.worked(d.r.name(rec.By))
	s := d.of(l, l.where)
	s.Steps++
	s.Trays += l.b.Trays
	d.r.stepDone(l.place, l.run, l.b.Trays, at)
	d.learnStep(l, st, end, at)
	ran := StepRan{Step: st.Kind.String(), Batch: l.b.ID, Crop: l.b.Crop, Trays: l.b.Trays}
	if st.Kind == line.Wash || st.Kind == line.Spin || st.Kind == line.Dry {
		ran.Revision = l.b.Revision
	}
	d.ranStep(ran, l.run, l.where, rec)
	l.run, l.by = run{}, rec.By
	l.since, l.wet = at, st.Kind == line.Wash || st.Kind == line.Spin
	if st.Kind == line.Pack {
		r, _ := d.r.book.Recipes.Current(l.b.Crop)
		l.b.Packages, l.b.NetG, l.b.Lot, l.b.Packed = e.Packages, e.NetG, e.Lot, rec.At
		l.b.PackagesBy, l.b.NetBy = e.Known(&r, l.b.Trays)
		l.b.Packer = d.r.name(rec.By)
	}
}

// handsAtEnd counts the hands that take greens out: they worked before the record,
// within the time that the greens stood there.
func (d *dayFold) handsAtEnd(l *live, by string, at, hands int64) {
	var late *wait
	over := int64(0)
	if k := len(d.waits); k > 0 && d.waits[k-1].b == l && d.waits[k-1].to == at && d.waits[k-1].from >= l.run.began {
		late = &d.waits[k-1]
		over = at - late.from
	}
	// They began while the machine was still counted where it was not over for that long.
	from := max(at-hands, l.run.began, at-over-int64(l.b.Shares[Machine]))
	n := d.errand(by, from, at)
	p := d.person(by)
	p.errands = append(p.errands, span{from, at})
	if late != nil {
		late.hands = min(n, over)
		n -= late.hands
	}
	d.spendAt(l, l.where, HandsOn, n)
	d.spendAt(l, l.where, Machine, -n)
}

func (d *dayFold) cool(e line.BatchCooled, rec line.Record, at int64) {
	l := d.live[e.Batch]
	row, st := d.station(e.At.Station)
	if l == nil || st == nil {
		return
	}
	start, _ := handsAt(st)
	d.waited(l, row, at, start, rec.By)
	l.worked(d.r.name(rec.By))
	l.b.Cold, l.b.Fate = rec.At, line.Cold
	s := d.of(l, row)
	s.Steps++
	s.Trays += l.b.Trays
	d.leave(l, at)
}

// leave takes a batch off the line.
func (d *dayFold) leave(l *live, at int64) {
	if l.since != 0 {
		d.waited(l, l.where, at, 0, "")
	}
	d.move(l, line.Nowhere)
	l.run, l.over = run{}, true
}

func (d *dayFold) split(e line.BatchSplit, at int64) {
	from := d.live[e.From]
	if from == nil {
		return
	}
	part := &live{b: from.b, where: from.where, place: line.Nowhere, since: 0, wet: from.wet}
	part.b.ID, part.b.No, part.b.Trays, part.b.Of = e.New.ID, e.New.No, e.New.Trays, []int{e.From}
	part.b.Shares, part.b.Wet, part.b.Lost = Shares{}, 0, 0
	part.b.By, part.b.Vessels, part.b.Seeds = slices.Clone(from.b.By), slices.Clone(from.b.Vessels), slices.Clone(from.b.Seeds)
	if total := from.b.Trays; from.b.Packages > 0 && total > 0 {
		part.b.Packages = from.b.Packages * part.b.Trays / total
		part.b.NetG = from.b.NetG * float64(part.b.Trays) / float64(total)
		from.b.Packages -= part.b.Packages
		from.b.NetG -= part.b.NetG
		for _, b := range []*Batch{&from.b, &part.b} {
			b.PackagesBy, b.NetBy = line.Assumed, line.Assumed
		}
	}
	from.b.Trays -= e.New.Trays
	if from.began != 0 {
		part.began, part.since = at, at // its own account begins here
	}
	for _, v := range part.b.Vessels {
		d.r.book.Vessels[v].Batches = append(d.r.book.Vessels[v].Batches, part.b.ID)
	}
	d.addLive(part)
	d.move(part, e.At)
}

func (d *dayFold) merge(e line.BatchMerged, at int64) {
	from, into := d.live[e.From], d.live[e.Into]
	if from == nil || into == nil || from == into {
		return
	}
	into.b.Trays += from.b.Trays
	into.b.Packages += from.b.Packages
	into.b.NetG += from.b.NetG
	into.b.PackagesBy, into.b.NetBy = into.b.PackagesBy.And(from.b.PackagesBy), into.b.NetBy.And(from.b.NetBy)
	into.b.Of = append(into.b.Of, from.b.ID)
	for _, by := range from.b.By {
		into.worked(by)
	}
	for _, v := range from.b.Vessels {
		if !slices.Contains(into.b.Vessels, v) {
			into.b.Vessels = append(into.b.Vessels, v)
			d.r.book.Vessels[v].Batches = append(d.r.book.Vessels[v].Batches, into.b.ID)
		}
	}
	for _, s := range from.b.Seeds {
		if !slices.Contains(into.b.Seeds, s) {
			into.b.Seeds = append(into.b.Seeds, s)
		}
	}
	d.leave(from, at)
	from.b.Fate, from.b.Into = line.Merged, e.Into
	from.b.Trays, from.b.Packages, from.b.NetG = 0, 0, 0
}
