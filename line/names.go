package line

import (
	"time"

	"shedbell/recipes"
)

// PlaceName is what people call a slot: the station, with a letter where it has
// several.
func (s *State) PlaceName(p Place) string { return s.Site.PlaceName(p) }

// PlaceName is what people call a slot: the station, with a letter where it has
// several.
func (s *Site) PlaceName(p Place) string {
	if p.Station < 0 || p.Station >= len(s.Stations) {
		return "nowhere"
	}
	st := &s.Stations[p.Station]
	if st.Slots <= 1 {
		return st.Name
	}
	return st.Name + " " + SlotLetter(p.Slot)
}

// SlotLetter is the letter of a slot, a to z and then aa.
func SlotLetter(slot int) string {
	if slot < 26 {
		return string(rune('a' + slot))
	}
	return SlotLetter(slot/26-1) + SlotLetter(slot%26)
}

// nextFree is when the first slot of a kind should come free, from the countdowns
// that run.
func (s *State) nextFree(k Kind) (time.Time, bool) {
	var first time.Time
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Fate != OnLine || s.Site.Stations[b.Step.Place.Station].Kind != k {
			continue
		}
		if at, ok := b.Step.DueAt(); ok && (first.IsZero() || at.Before(first)) {
			first = at
		}
	}
	return first, !first.IsZero()
}

// PlannedTime is the countdown that a batch's step at a place would start with
// now, by a recipe as State.RecipeOf gives it; asked is the setting as in Start. At a place that is out of use it is
// that of people who stand in.
func PlannedTime(s *State, b *Batch, to Place, r *recipes.Recipe, asked string) time.Duration {
	st := &s.Site.Stations[to.Station]
	d := draft{s: s, now: s.At}
	if s.IsBroken(to) {
		return d.byHand(st, r, to)
	}
	setting, no := d.chooseSetting(st, to, r, asked)
	if no != nil {
		return 0
	}
	return d.plannedTime(st, to, st.Load, r, setting)
}
