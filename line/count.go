package line

import (
	"slices"
	"strings"

	"shedbell/line/say"
)

// CountTrays says that a batch has more or fewer trays than was said.
type CountTrays struct {
	Batch, Trays int
}

// TraysFound is how many trays a batch has after all.
type TraysFound struct {
	Batch, Trays int
}

// DropTrays says that greens of some trays of a batch are lost, while the rest goes on.
type DropTrays struct {
	Batch, Trays int
	Reason       string
}

// TraysLost says so.
type TraysLost struct {
	Batch, Trays int
	Reason       string
}

func (c CountTrays) decide(d *draft) *Refusal {
	b := d.s.Batch(c.Batch)
	switch {
	case b == nil:
		return refuse(RuleUnknown, "line.no-batch", c.Batch)
	case b.Fate == Scrapped || b.Fate == Merged:
		return refuse(RuleOrder, "line.batch-gone", b.Label())
	case c.Trays < 1 || c.Trays > MaxDayTrays:
		return refuse(RuleValue, "line.crop-trays", c.Trays, say.Crop(b.Crop), MaxDayTrays)
	case c.Trays == b.Trays:
		return refuse(RuleNothing, "line.so-already")
	}
	d.undo = say.New("undo.count", b.Label())
	d.emit(TraysFound(c))
	return nil
}

func (c DropTrays) decide(d *draft) *Refusal {
	b := d.s.Batch(c.Batch)
	reason := strings.TrimSpace(c.Reason)
	switch {
	case b == nil:
		return refuse(RuleUnknown, "line.no-batch", c.Batch)
	case b.Fate != Waiting && b.Fate != OnLine:
		return refuse(RuleOrder, "line.batch-gone", b.Label())
	case c.Trays < 1 || c.Trays > b.Trays:
		return refuse(RuleValue, "line.drop-trays", b.Label(), b.Trays)
	case reason == "" || unfit(reason):
		return refuse(RuleValue, "line.scrap-why", b.Label())
	case c.Trays == b.Trays:
		return Scrap{Batch: c.Batch, Reason: reason}.decide(d)
	}
	if no := d.still(b, b.packagesOf(c.Trays)); no != nil {
		return no
	}
	d.undo = say.New("undo.drop", c.Trays, b.Label())
	d.emit(TraysLost{Batch: b.ID, Trays: c.Trays, Reason: reason})
	return nil
}

// The growing trays are as many as the batch has, and as many are sown again where the
// day sheet does not say otherwise.
func (e TraysFound) apply(s *State, r Record) {
	b := s.batch(e.Batch)
	if b == nil {
		return
	}
	more := e.Trays - b.Trays
	b.Trays = e.Trays
	if b.Fate != Waiting {
		s.takeGrown(b, b.Crop, more, r.At)
		s.giveBack(b, -more)
	}
	if b.Fate == Cold || b.Fate == OnLine && s.cutDone(b) {
		s.Trays.count(more)
	}
	if s.Sheet == nil || len(s.Sheet.Sow) > 0 {
		return
	}
	s.Sowing = slices.Clone(s.Sowing)
	for i := range s.Sowing {
		if it := &s.Sowing[i]; it.Crop == b.Crop {
			it.Trays, more = max(0, it.Trays+more), min(0, it.Trays+more)
		}
	}
}

// count puts more growing trays on the dirty pile, or takes some off; where they are
// washed by now, from there on.
func (p *TrayPool) count(more int) {
	for _, n := range []*int{&p.Dirty, &p.Washed, &p.Sanitized, &p.Sown} {
		*n, more = max(0, *n+more), min(0, *n+more)
	}
}

// The growing tray of what was dropped before the cut has to be washed all the same. Of
// packed greens the same share is gone, which nobody has weighed.
func (e TraysLost) apply(s *State, r Record) {
	b := s.batch(e.Batch)
	if b == nil || e.Trays >= b.Trays {
		return
	}
	if b.Fate == Waiting || !s.cutDone(b) {
		s.Trays.Dirty += e.Trays
	}
	if b.Fate == Waiting {
		s.takeGrown(nil, b.Crop, e.Trays, r.At)
	}
	part := float64(e.Trays) / float64(b.Trays)
	b.NetG -= b.NetG * part
	b.Packages -= b.packagesOf(e.Trays)
	if b.Lot != "" {
		b.PackagesBy, b.NetBy = Assumed, Assumed
	}
	b.Trays -= e.Trays
	b.Lost += e.Trays
}

// packagesOf is how many of a batch's packages some of its trays have become.
func (b *Batch) packagesOf(trays int) int {
	return int(float64(b.Packages)*float64(trays)/float64(b.Trays) + 0.5)
}

// still refuses to lose packages of a batch that were sold or thrown away.
func (d *draft) still(b *Batch, packages int) *Refusal {
	if left, ok := d.s.LotLeft(b.Lot); ok && packages > left {
		return refuse(RuleValue, "line.packages-left", b.Lot, left, packages)
	}
	return nil
}

// traysFit says why a batch cannot have been found to have so many trays.
func (d *draft) traysFit(e TraysFound) *Refusal {
	b := d.s.Batch(e.Batch)
	switch {
	case b == nil:
		return refuse(RuleUnknown, "line.no-batch", e.Batch)
	case b.Fate == Scrapped || b.Fate == Merged:
		return refuse(RuleOrder, "line.batch-gone", b.Label())
	case e.Trays < 1 || e.Trays > MaxDayTrays:
		return refuse(RuleValue, "line.crop-trays", e.Trays, say.Crop(b.Crop), MaxDayTrays)
	}
	return nil
}
