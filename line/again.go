package line

import (
	"slices"

	"shedbell/line/say"
	"shedbell/recipes"
)

// Again sends a batch through a wet step once more: it came out of the spinner too wet,
// off the rack damp, or the water was not clean. What the batch has run is told to the
// recipe with it.
type Again struct {
	Batch int
	Kind  Kind
}

func (c Again) decide(d *draft) *Refusal {
	b := d.s.Batch(c.Batch)
	if b == nil {
		return refuse(RuleUnknown, "line.no-batch", c.Batch)
	}
	r, _ := d.s.Recipe(b.Crop)
	took := map[Kind]bool{Wash: r.WashTime() > 0, Spin: r.Spin > 0, Dry: r.Dry > 0}
	if b.Fate != OnLine || !took[c.Kind] || d.kind(b.Step.Place) < c.Kind || b.Lot != "" {
		return refuse(RuleOrder, "line.again-not", b.Label(), c.Kind)
	}
	if b.Step.Active() {
		if no := (Finish{At: b.Step.Place}).decide(d); no != nil {
			return no
		}
		d.settle()
		b = d.s.Batch(c.Batch)
	}
	to, hand := b.Step.Place, false
	if d.kind(to) != c.Kind {
		var free bool
		if to, free = d.s.handPlace(c.Kind, b.Trays); !free {
			return d.noRoom(b, c.Kind)
		}
	}
	hand = d.s.IsBroken(to)
	if no := d.begin(b, to, "", hand, true); no != nil {
		return no
	}
	d.undo = say.New("undo.again", c.Kind, b.Label())
	return nil
}

// secondTime notes that a batch was spun again, for whoever judges its recipe.
func (b *Batch) secondTime(k Kind) {
	if k != Spin {
		return
	}
	ran := recipes.Ran{}
	if b.Ran != nil {
		ran = *b.Ran
	}
	ran.SpunAgain++
	b.Ran = &ran
	b.Skips = slices.DeleteFunc(slices.Clone(b.Skips), func(o Kind) bool { return o == k })
}

// DrainTub says that a tub's water is gone, while greens are in it or before its turn.
type DrainTub struct{ Station int }

// TubDrained says so. What washed there is held.
type TubDrained struct{ Station int }

func (c DrainTub) decide(d *draft) *Refusal {
	if !d.s.valid(Place{c.Station, 0}) || d.s.Site.Stations[c.Station].Kind != Wash {
		return refuse(RuleUnknown, "line.no-place")
	}
	st := &d.s.Site.Stations[c.Station]
	if d.s.Water[c.Station].Empty {
		return refuse(RuleNothing, "line.so-already")
	}
	for slot := range st.Slots {
		b, chore := d.s.Occupant(Place{c.Station, slot})
		switch {
		case chore != nil:
			return refuse(RuleOccupied, "line.busy", d.at(Place{c.Station, slot}), chore.Kind)
		case b != nil && (b.Step.Progress == Running || b.Step.Progress == Interrupted):
			d.emit(StepHeld{At: b.Step.Place})
		}
	}
	d.undo = say.New("undo.drained", say.Station(st.Name))
	d.emit(TubDrained(c))
	return nil
}

func (e TubDrained) apply(s *State, _ Record) {
	if e.Station >= 0 && e.Station < len(s.Water) {
		s.Water = slices.Clone(s.Water)
		s.Water[e.Station] = Water{Empty: true}
	}
}

// refilled is a tub that was empty and washes again: what is in it is the first in its
// new water.
func (s *State) refilled(b *Batch, r Record) {
	at := b.Step.Place.Station
	if s.Site.Stations[at].Kind == Wash && s.Water[at].Empty {
		s.Water = slices.Clone(s.Water)
		s.Water[at] = Water{Since: r.At, Batches: 1, Crops: []string{b.Crop}}
	}
}
