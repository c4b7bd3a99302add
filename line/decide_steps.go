package line

import (
	"fmt"
	"shedbell/line/say"
	"slices"
	"time"
)

// MinCountdown is the shortest countdown that Adjust leaves, and MaxCountdown the
// longest: nothing on this line is meant to run for a day.
const (
	MinCountdown = 15 * time.Second
	MaxCountdown = 24 * time.Hour
)

func (c Start) decide(d *draft) *Refusal {
	b := d.s.Batch(c.Batch)
	if b == nil {
		return refuse(RuleUnknown, "line.no-batch", c.Batch)
	}
	to := b.Step.Place
	var no *Refusal
	if inPlace := b.Fate == OnLine && b.Step.Progress == Loaded && (c.To == Anywhere || c.To == to); inPlace {
		no = d.slotTakes(b, to, c.ByHand) // it may have been broken since
	} else {
		b, to, no = d.moveTarget(c.Batch, c.To, c.ByHand)
	}
	if no != nil {
		return no
	}
	if d.kind(to) == Chill {
		return d.cool(b, to)
	}
	return d.begin(b, to, c.Setting, c.ByHand, false)
}

// begin starts a batch's step at a place; again says that it has had that step before.
func (d *draft) begin(b *Batch, to Place, asked string, byHand, again bool) *Refusal {
	st := &d.s.Site.Stations[to.Station]
	if no := d.waterFits(b, to); no != nil {
		return no
	}
	recipe, ok := d.s.RecipeOf(b)
	if !ok {
		return refuse(RuleUnknown, "line.add-recipe", say.Crop(b.Crop))
	}
	d.undo = say.New("undo.start", say.Station(st.Name), b.Label())
	if byHand {
		d.emit(StepStarted{Batch: b.ID, At: to, Planned: d.byHand(st, &recipe, to), Load: NoLoad, Revision: recipe.Revision, ByHand: true, Again: again})
		return nil
	}
	setting, no := d.chooseSetting(st, to, &recipe, asked)
	if no != nil {
		return no
	}
	planned := d.plannedTime(st, to, st.Load, &recipe, setting)
	if no := d.allow(st.Load, setting, planned); no != nil {
		return no
	}
	d.rescale(st.Load, setting)
	d.emit(StepStarted{Batch: b.ID, At: to, Planned: planned, Load: st.Load, Setting: setting, Revision: recipe.Revision, Again: again})
	return nil
}

func (c Advance) decide(d *draft) *Refusal {
	b := d.s.Batch(c.Batch)
	if b == nil {
		return refuse(RuleUnknown, "line.no-batch", c.Batch)
	}
	name := b.Label()
	if b.Fate == OnLine && b.Step.Active() {
		if no := (Finish{At: b.Step.Place}).decide(d); no != nil {
			return no
		}
		d.settle()
	}
	if no := Start(c).decide(d); no != nil {
		return no
	}
	d.undo = say.New("undo.advance", name)
	return nil
}

func (c Put) decide(d *draft) *Refusal {
	b := d.s.Batch(c.Batch)
	if b == nil {
		return refuse(RuleUnknown, "line.no-batch", c.Batch)
	}
	name := b.Label()
	if b.Fate == OnLine && b.Step.Active() {
		if no := (Finish{At: b.Step.Place}).decide(d); no != nil {
			return no
		}
		d.settle()
	}
	b, to, no := d.moveTarget(c.Batch, c.To, false)
	if no != nil {
		return no
	}
	if k := d.kind(to); !k.standsFirst() {
		return refuse(RuleOrder, "line.cannot-stand", name, k)
	}
	if b.Step.Place == to {
		return refuse(RuleNothing, "line.stands-there", name, d.at(to))
	}
	d.undo = say.New("undo.load", name, d.at(to))
	d.emit(BatchLoaded{Batch: c.Batch, At: to})
	return nil
}

// standsFirst says whether greens may stand at a station before its machine runs:
// not in the tub, where they would soak.
func (k Kind) standsFirst() bool { return k == Spin || k == Dry }

// moveTarget finds where a batch would go and checks that it may.
func (d *draft) moveTarget(id int, to Place, byHand bool) (*Batch, Place, *Refusal) {
	b := d.s.Batch(id)
	if b == nil {
		return nil, to, refuse(RuleUnknown, "line.no-batch", id)
	}
	if b.Fate != Waiting && b.Fate != OnLine {
		return nil, to, refuse(RuleOrder, "line.batch-gone", b.Label())
	}
	if b.Fate == OnLine && b.Step.Active() {
		return nil, to, refuse(RuleOrder, "line.still-at", b.Label(), d.station(b.Step.Place))
	}
	next, ok := d.s.NextKind(b)
	if !ok {
		return nil, to, refuse(RuleOrder, "line.no-step-left", b.Label())
	}
	if b.Fate == OnLine && b.Step.Progress == Loaded {
		next = d.kind(b.Step.Place) // still owed the step it was loaded for
	}
	if to == Anywhere {
		free, ok := d.s.FreeSlotOf(next, b.Trays)
		if byHand {
			free, ok = d.s.handPlace(next, b.Trays)
		}
		if !ok {
			return nil, to, d.noRoom(b, next)
		}
		return b, free, nil
	}
	if !d.s.valid(to) {
		return nil, to, refuse(RuleUnknown, "line.no-place")
	}
	if kind := d.kind(to); kind != next {
		return nil, to, refuse(RuleOrder, "line.other-step-next", b.Label(), next, kind)
	}
	return b, to, d.slotTakes(b, to, byHand)
}

func (d *draft) slotTakes(b *Batch, to Place, byHand bool) *Refusal {
	st := &d.s.Site.Stations[to.Station]
	if d.s.IsBroken(to) && !byHand {
		return refuse(RuleBroken, "line.out-of-use", d.at(to))
	}
	if other, chore := d.s.Occupant(to); other != nil && other.ID != b.ID {
		return refuse(RuleOccupied, "line.holds", d.at(to), other.Label())
	} else if chore != nil {
		return refuse(RuleOccupied, "line.busy", d.at(to), chore.Kind)
	}
	if b.Trays > st.SlotTrays {
		return refuse(RuleCapacity, "line.too-many-for-place", b.Label(), b.Trays, d.at(to), st.SlotTrays)
	}
	return nil
}

func (d *draft) noRoom(b *Batch, k Kind) *Refusal {
	if d.s.kindOut(k) {
		return refuse(RuleBroken, "line.all-out-of-use", k)
	}
	for _, i := range d.s.Site.StationsOf(k) {
		if b.Trays <= d.s.Site.Stations[i].SlotTrays {
			if at, ok := d.s.nextFree(k); ok {
				return refuse(RuleOccupied, "line.no-free-place-until", k, b.Label(), say.Time(at))
			}
			return refuse(RuleOccupied, "line.no-free-place", k, b.Label())
		}
	}
	return refuse(RuleCapacity, "line.too-many-anywhere", b.Label(), b.Trays, k)
}

// waterFits checks a wash against what the tub's water has seen.
func (d *draft) waterFits(b *Batch, to Place) *Refusal {
	st := &d.s.Site.Stations[to.Station]
	if st.Kind != Wash {
		return nil
	}
	w := &d.s.Water[to.Station]
	if w.Empty {
		return refuse(RuleWater, "line.tub-empty", say.Station(st.Name))
	}
	crops, batches := w.Crops, w.Batches
	for i := range d.s.Batches { // the water is promised to what stands in it already
		o := &d.s.Batches[i]
		if o.ID != b.ID && o.Fate == OnLine && o.Step.Progress == Loaded && o.Step.Place.Station == to.Station {
			crops = append(slices.Clip(crops), o.Crop)
			batches++
		}
	}
	if d.s.Sheet != nil {
		for _, crop := range crops {
			if d.s.Sheet.KeptApart(crop, b.Crop) {
				return refuse(RuleApart, "line.water-apart", say.Crop(b.Crop), say.Crop(crop))
			}
		}
	}
	if st.WaterBatches > 0 && batches >= st.WaterBatches {
		return refuse(RuleWater, "line.water-used-up", say.Station(st.Name), batches)
	}
	return nil
}

func (d *draft) cool(b *Batch, to Place) *Refusal {
	d.undo = say.New("undo.chill", b.Label())
	d.emit(BatchCooled{Batch: b.ID, At: to})
	return nil
}

func (c Finish) decide(d *draft) *Refusal {
	b, chore := d.s.Occupant(c.At)
	switch {
	case b != nil:
		return d.finishStep(b, c)
	case chore != nil:
		return d.finishChore(chore)
	}
	return refuse(RuleNothing, "line.nothing-to-finish")
}

func (d *draft) finishStep(b *Batch, c Finish) *Refusal {
	if !b.Step.Active() {
		return refuse(RuleOrder, "line.not-started", b.Label(), d.at(c.At))
	}
	if no := d.contactOver(b, c.At); no != nil {
		return no
	}
	e := StepFinished{Batch: b.ID}
	if d.kind(c.At) == Pack {
		if c.Packages < 0 || c.Packages > 10000 || !(c.NetG >= 0 && c.NetG <= mostNetG) {
			return refuse(RuleValue, "line.packed", c.Packages, say.Grams(c.NetG), say.Grams(mostNetG))
		}
		d.packed(b, c, &e)
		e.Lot = d.lot(b)
	}
	d.undo = say.New("undo.end", d.station(c.At), b.Label())
	d.emit(e)
	return nil
}

// mostNetG is what a batch can weigh at most.
const mostNetG = 1e6

// contactOver refuses to end a wash whose sanitizer has not worked long enough.
func (d *draft) contactOver(b *Batch, at Place) *Refusal {
	r, ok := d.s.Book.Revision(b.Crop, b.Step.Revision)
	if !ok || d.kind(at) != Wash {
		return nil
	}
	if left := r.SanitizerContact - b.Step.Ran(d.now); left > 0 {
		return refuse(RuleContact, "line.wash-contact-left", clock(left), b.Label())
	}
	return nil
}

// packed fills in what the operator left out from the recipe, and how each is known.
func (d *draft) packed(b *Batch, c Finish, e *StepFinished) {
	r, _ := d.s.Recipe(b.Crop)
	e.Packages, e.NetG = expects(&r, b.Trays, c.Packages, c.NetG)
	e.PackagesBy, e.NetBy = c.PackagesBy, c.NetBy
	if e.PackagesBy == "" || c.Packages == 0 {
		e.PackagesBy = Typed
		if c.Packages == 0 && e.Packages > 0 {
			e.PackagesBy = Assumed
		}
	}
	if c.NetG == 0 {
		e.NetBy = Assumed
	} else if e.NetBy == "" {
		e.NetBy = Typed
	}
}

// lot is the traceability code: the day and the batch, so that it names one batch
// for ever.
func (d *draft) lot(b *Batch) string {
	date := d.now.Format(time.DateOnly)
	if d.s.Sheet != nil && d.s.Sheet.Date != "" {
		date = d.s.Sheet.Date
	}
	return fmt.Sprintf("%s-%03d", date, b.ID)
}

func (d *draft) kind(p Place) Kind { return d.s.Site.Stations[p.Station].Kind }
