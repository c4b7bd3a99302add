package line

import (
	"shedbell/line/say"
	"strings"
)

func (c Split) decide(d *draft) *Refusal {
	b := d.s.Batch(c.Batch)
	if b == nil {
		return refuse(RuleUnknown, "line.no-batch", c.Batch)
	}
	if b.Trays < 2 {
		return refuse(RuleValue, "line.split-one", b.Label())
	}
	if c.Trays < 1 || c.Trays >= b.Trays {
		return refuse(RuleValue, "line.split-trays", b.Label(), b.Trays, b.Trays-1)
	}
	at, refused := d.splitPlace(b, c.Trays)
	if refused != nil {
		return refused
	}
	no := 0
	for i := range d.s.Batches {
		if d.s.Batches[i].Crop == b.Crop {
			no = max(no, d.s.Batches[i].No)
		}
	}
	d.undo = say.New("undo.split", b.Label())
	d.emit(BatchSplit{From: b.ID, At: at, New: NewBatch{ID: d.s.LastID + 1, Crop: b.Crop, No: no + 1, Trays: c.Trays, Due: b.Due}})
	return nil
}

// splitPlace is where the part that is split off stands: beside the rest, or ready
// for the next step where its station has no second place.
func (d *draft) splitPlace(b *Batch, trays int) (Place, *Refusal) {
	switch {
	case b.Fate == Waiting:
		return Nowhere, nil
	case b.Fate != OnLine || b.Step.Active():
		return Nowhere, refuse(RuleOrder, "line.split-still", b.Label())
	}
	if free, ok := d.s.FreeSlot(b.Step.Place.Station, trays); ok {
		return free, nil
	}
	next, ok := d.s.NextKind(b)
	if ok && b.Step.Progress == Finished && next != Chill {
		part := *b
		part.ID, part.Trays = 0, trays
		for i := range d.s.Site.Stations {
			if d.s.Site.Stations[i].Kind != next {
				continue
			}
			if free, ok := d.s.FreeSlot(i, trays); ok && d.waterFits(&part, free) == nil {
				return free, nil
			}
		}
	}
	return Nowhere, refuse(RuleOccupied, "line.split-no-place", d.station(b.Step.Place))
}

func (c Merge) decide(d *draft) *Refusal {
	from, into := d.s.Batch(c.From), d.s.Batch(c.Into)
	switch {
	case from == nil || into == nil || c.From == c.Into:
		return refuse(RuleUnknown, "line.merge-two")
	case from.Crop != into.Crop:
		return refuse(RuleOrder, "line.merge-crops", from.Label(), into.Label())
	case from.Fate == Waiting && into.Fate == Waiting:
	case from.Fate != OnLine || into.Fate != OnLine || from.Step.Active() || into.Step.Active() ||
		from.Step.Progress != into.Step.Progress || d.kind(from.Step.Place) != d.kind(into.Step.Place):
		return refuse(RuleOrder, "line.merge-steps", from.Label(), into.Label())
	}
	if from.Lot != "" || into.Lot != "" {
		return refuse(RuleOrder, "line.merge-lots", from.Label(), into.Label())
	}
	r, _ := d.s.Recipe(into.Crop)
	limit := batchSize(d.s.Site, &r)
	if into.Fate == OnLine {
		limit = d.s.Site.Stations[into.Step.Place.Station].SlotTrays
	}
	if sum := from.Trays + into.Trays; limit > 0 && sum > limit {
		return refuse(RuleCapacity, "line.merge-trays", sum, limit)
	}
	d.undo = say.New("undo.merge", from.Label(), into.Label())
	d.emit(BatchMerged(c))
	return nil
}

func (c Scrap) decide(d *draft) *Refusal {
	b := d.s.Batch(c.Batch)
	if b == nil {
		return refuse(RuleUnknown, "line.no-batch", c.Batch)
	}
	if b.Fate != Waiting && b.Fate != OnLine {
		return refuse(RuleOrder, "line.batch-gone", b.Label())
	}
	if strings.TrimSpace(c.Reason) == "" {
		return refuse(RuleValue, "line.scrap-why", b.Label())
	}
	if no := d.still(b, b.Packages); no != nil {
		return no
	}
	d.undo = say.New("undo.scrap", b.Label())
	d.emit(BatchScrapped(c))
	return nil
}

func (c StartChore) decide(d *draft) *Refusal {
	kind, ok := c.Kind.station()
	if !ok {
		return refuse(RuleUnknown, "line.no-such-work")
	}
	if d.s.Sheet == nil {
		return refuse(RuleDay, "line.no-day")
	}
	if c.Trays < 0 {
		return refuse(RuleValue, "line.trays-range", c.Trays)
	}
	to := c.To
	if to == Anywhere {
		free, ok := d.s.FreeSlotOf(kind, 0)
		if c.ByHand {
			free, ok = d.s.handPlace(kind, 0)
		}
		if !ok {
			return refuse(RuleOccupied, "line.no-free-place-at", kind)
		}
		to = free
	}
	if !d.s.valid(to) || d.kind(to) != kind {
		return refuse(RuleUnknown, "line.no-place-for", c.Kind)
	}
	if d.s.IsBroken(to) && !c.ByHand {
		return refuse(RuleBroken, "line.out-of-use", d.at(to))
	}
	if d.s.StepAt(to) != nil {
		return refuse(RuleOccupied, "line.not-free", d.at(to))
	}
	e := ChoreStarted{ID: d.s.ChoreID + 1, Kind: c.Kind, At: to, Load: d.s.Site.Stations[to.Station].Load}
	if no := d.choreWork(c, &e); no != nil {
		return no
	}
	if e.ByHand = c.ByHand; c.ByHand {
		e.Load = NoLoad
	}
	if e.Load != NoLoad {
		e.Setting, _ = d.s.Site.Panel.Loads[e.Load].SettingByName(d.s.Site.Stations[to.Station].Setting)
		if c.Kind == ChangeWater {
			e.Setting = 0
		}
	}
	if no := d.allow(e.Load, e.Setting, e.Planned); no != nil {
		return no
	}
	d.undo = say.New("undo.start-work", c.Kind)
	d.emit(e)
	return nil
}

// choreWork fills in how much there is to do, or refuses when there is nothing.
func (d *draft) choreWork(c StartChore, e *ChoreStarted) *Refusal {
	st := &d.s.Site.Stations[e.At.Station]
	waiting := 0
	switch c.Kind {
	case WashTrays:
		waiting = d.s.Trays.Dirty
	case SanitizeAll:
		// Surfaces are sanitized even when no tray waits.
		e.Trays, e.Planned = min(d.s.Trays.Washed, st.SlotTrays), max(st.Contact, d.s.labelContact())
		return nil
	case ChangeWater:
		for slot := range st.Slots {
			if p := (Place{e.At.Station, slot}); d.s.StepAt(p) != nil {
				return refuse(RuleOccupied, "line.not-empty", d.at(p))
			}
		}
		e.Load, e.Planned = st.DrainLoad, d.s.slower(e.At, st.DrainTime)
		return nil
	case SowTrays:
		item, ok := d.nextSow(c.Crop)
		if !ok {
			return refuse(RuleNothing, "line.nothing-to-sow")
		}
		e.Crop = item.Crop
		waiting = min(item.Trays, d.s.Trays.Sanitized)
	}
	e.Trays = min(waiting, st.SlotTrays)
	if c.Trays > 0 {
		e.Trays = c.Trays
	}
	if waiting == 0 {
		return refuse(RuleNothing, "line.no-tray-ready", d.at(e.At))
	}
	if e.Trays > waiting {
		return refuse(RuleNothing, "line.trays-ready", waiting, d.at(e.At))
	}
	if e.Trays > st.SlotTrays {
		return refuse(RuleCapacity, "line.place-holds", d.at(e.At), st.SlotTrays)
	}
	return nil
}

func (d *draft) nextSow(crop string) (SowItem, bool) {
	for _, it := range d.s.Sowing {
		if it.Trays > 0 && (crop == "" || crop == it.Crop) {
			return it, true
		}
	}
	return SowItem{}, false
}

func (d *draft) finishChore(c *Chore) *Refusal {
	if c.Kind == SanitizeAll && c.Step.Ran(d.now) < c.Step.Planned {
		return refuse(RuleContact, "line.contact-left",
			clock(c.Step.Planned-c.Step.Ran(d.now)))
	}
	d.undo = say.New("undo.end-work", c.Kind)
	d.emit(ChoreFinished{ID: c.ID})
	return nil
}
