package line

import (
	"fmt"
	"slices"
	"time"

	"shedbell/recipes"
)

// Apply returns the state after a record. It is pure, never changes s and cannot
// fail: whatever Decide let into the journal is a fact. A record about something
// that the state does not hold leaves it as it is.
func Apply(s *State, r Record) *State {
	next := applyEvent(s, r)
	next.Seq, next.At = r.Seq, r.At
	next.keepPast(s, r)
	next.remember(s, r)
	return next
}

// Reapply applies a record that was read from a journal. Apply trusts what Decide has
// made; a file may also hold what something else has put there, and a record that
// does not fit those before it must not end the program.
func Reapply(s *State, r Record) (next *State, err error) {
	defer func() {
		if recover() != nil {
			next, err = s, fmt.Errorf("record %d (%s) does not fit those before it: the journal was changed by something else than "+
				"this program. Bring a copy back: shedbell restore FILE", r.Seq, EventName(r.Event))
		}
	}()
	return Apply(s, r), nil
}

// applyEvent makes the new state without the bookkeeping of the journal.
func applyEvent(s *State, r Record) *State {
	next := *s
	r.Event.apply(&next, r)
	if len(next.Orders) > 0 || len(s.Orders) > 0 {
		next.settleDues()
	}
	return &next
}

// Everything that refers to stations and loads begins again, but a breaker that has
// tripped stays open under its name.
func (e LineLaid) apply(s *State, r Record) {
	site := e.Site
	s.keepLimits(r.Seq)
	old, tripped := s.Site, s.Tripped
	s.Site, s.Laid, s.Tripped = &site, r.At, nil
	s.Power, s.PowerPast, s.File = atRest(&site.Panel, r.At), nil, nil
	for i, since := range tripped {
		if c, ok := site.Panel.CircuitByName(old.Panel.Circuits[i].Name); ok && !since.IsZero() {
			s.trip(c, since)
		}
	}
	s.Water = make([]Water, len(site.Stations))
	s.Broken = nil
	s.relayBacklog()
	s.Crew, s.Hours = site.Crew, nil
	if len(e.Recipes) > 0 {
		s.Book = recipes.NewBook(e.Recipes...)
		s.Filed = nil
		for _, r := range e.Recipes {
			s.filed(r)
		}
	}
}

func (e DayOpened) apply(s *State, r Record) {
	sheet := e.Sheet
	s.Sheet, s.Opened, s.LastPromise, s.PowerPast = &sheet, r.At, time.Time{}, nil
	s.Batches, s.Chores = nil, nil
	s.Trays.Sown, s.Clean = 0, time.Time{} // trays that the last day left unwashed are still there
	s.Water = make([]Water, len(s.Site.Stations))
	s.Sowing = slices.Clone(sheet.SowList())
	if len(sheet.Crew) > 0 {
		s.Crew = sheet.Crew
	}
	s.Hours = sheet.Hours
	s.addBatches(e.Batches)
	s.keepSheet(sheet)
}

func (DayClosed) apply(s *State, _ Record) {
	s.keepPacked()
	s.Sheet, s.Opened, s.PowerPast = nil, time.Time{}, nil
	s.Batches, s.Chores, s.Sowing = nil, nil, nil
	s.Trays.Sown, s.Clean = 0, time.Time{}
	s.Crew, s.Hours, s.Risks = s.Site.Crew, nil, nil
}

func (e BatchesAdded) apply(s *State, _ Record) {
	s.Sowing = slices.Concat(s.Sowing, e.Sow)
	s.addBatches(e.Batches)
	if i := len(s.LastDays) - 1; i >= 0 && s.Sheet != nil && s.LastDays[i].Date == s.Sheet.Date {
		s.LastDays = slices.Clone(s.LastDays)
		for _, b := range e.Batches {
			s.LastDays[i] = s.LastDays[i].with(b.Crop, b.Trays)
		}
	}
}

// keepSheet keeps the sheet of a day for the same weekday to come. The latest is last.
func (s *State) keepSheet(sheet Sheet) {
	kept := make([]Sheet, 0, 7)
	for _, d := range s.LastDays {
		if d.weekday() != sheet.weekday() {
			kept = append(kept, d)
		}
	}
	s.LastDays = append(kept, sheet)
}

// LastOn is the sheet of the last day before a time that fell on its weekday, with what
// was added in the course of that day.
func (s *State) LastOn(now time.Time) (Sheet, bool) {
	for _, d := range s.LastDays {
		if d.weekday() == now.Weekday() && d.Date < now.Format(time.DateOnly) {
			return d, true
		}
	}
	return Sheet{}, false
}

func (s *State) addBatches(made []NewBatch) {
	batches := make([]Batch, len(s.Batches), len(s.Batches)+len(made))
	copy(batches, s.Batches)
	for _, n := range made {
		batches = append(batches, Batch{ID: n.ID, Crop: n.Crop, No: n.No, Trays: n.Trays, Due: n.Due, SheetDue: n.Due,
			Step: Step{Place: Nowhere, Load: NoLoad}})
		s.LastID = max(s.LastID, n.ID)
	}
	s.Batches = batches
}

// batch returns a batch that may be modified: it gives the state a batch list of
// its own first.
func (s *State) batch(id int) *Batch {
	s.Batches = slices.Clone(s.Batches)
	return s.Batch(id)
}

// step returns the step in a slot for modification, or nil.
func (s *State) step(p Place) *Step {
	s.Batches, s.Chores = slices.Clone(s.Batches), slices.Clone(s.Chores)
	return s.StepAt(p)
}

func (e BatchSplit) apply(s *State, _ Record) {
	b := s.batch(e.From)
	if b == nil || e.At != Nowhere && !s.valid(e.At) {
		return
	}
	b.Trays -= e.New.Trays
	part := *b
	part.ID, part.No, part.Trays, part.Lost = e.New.ID, e.New.No, e.New.Trays, 0
	b.Grown, part.Grown = b.Grown.split(b.Trays)
	if e.At.Station == b.Step.Place.Station {
		part.Step.Place = e.At
	} else {
		part.Step = Step{Place: e.At, Progress: Loaded, Load: NoLoad}
	}
	if total := b.Trays + part.Trays; b.Packages > 0 && total > 0 {
		part.Packages = b.Packages * part.Trays / total
		part.NetG = b.NetG * float64(part.Trays) / float64(total)
		b.Packages -= part.Packages
		b.NetG -= part.NetG
		part.PackagesBy, part.NetBy, b.PackagesBy, b.NetBy = Assumed, Assumed, Assumed, Assumed // shared out, not weighed
	}
	s.Batches = append(s.Batches, part)
	s.LastID = max(s.LastID, part.ID)
}

func (e BatchMerged) apply(s *State, _ Record) {
	from, into := s.batch(e.From), s.Batch(e.Into)
	if from == nil || into == nil || from == into {
		return
	}
	into.Trays += from.Trays
	into.Grown, from.Grown = slices.Concat(into.Grown, from.Grown), nil
	into.Packages += from.Packages
	into.NetG += from.NetG
	into.PackagesBy, into.NetBy = into.PackagesBy.And(from.PackagesBy), into.NetBy.And(from.NetBy)
	into.WetSoFar = max(into.WetSoFar, from.WetSoFar)
	if !from.Due.IsZero() && (into.Due.IsZero() || from.Due.Before(into.Due)) {
		into.Due = from.Due
	}
	if !from.SheetDue.IsZero() && (into.SheetDue.IsZero() || from.SheetDue.Before(into.SheetDue)) {
		into.SheetDue = from.SheetDue
	}
	if !from.WetSince.IsZero() && (into.WetSince.IsZero() || from.WetSince.Before(into.WetSince)) {
		into.WetSince = from.WetSince
	}
	from.Fate = Merged
	from.Trays, from.Packages, from.NetG = 0, 0, 0 // they count with the other batch now
	from.WetSince, from.WetSoFar = time.Time{}, 0
	from.Step = Step{Place: Nowhere, Load: NoLoad}
}

func (e BatchScrapped) apply(s *State, r Record) {
	b := s.batch(e.Batch)
	if b == nil || b.Fate != Waiting && b.Fate != OnLine {
		return
	}
	if b.Fate == Waiting || !s.cutDone(b) {
		s.Trays.Dirty += b.Trays // its trays have to be washed all the same
	}
	if b.Fate == Waiting {
		s.takeGrown(nil, b.Crop, b.Trays, r.At)
	}
	load := b.Step.Load
	b.endWet(r.At)
	b.Fate = Scrapped
	b.Step = Step{Place: Nowhere, Load: NoLoad}
	s.release(load, r.At)
}

// cutDone says whether a batch on the line has been cut, so that its trays have
// been counted.
func (s *State) cutDone(b *Batch) bool {
	return s.Site.Stations[b.Step.Place.Station].Kind != Cut || b.Step.Progress == Finished
}

func (e SlotBroken) apply(s *State, _ Record) { s.Broken = append(slices.Clone(s.Broken), e.At) }

func (e SlotMended) apply(s *State, _ Record) {
	s.Broken = slices.DeleteFunc(slices.Clone(s.Broken), func(p Place) bool { return p == e.At })
}

// Facts for the records, without effect on the line.
func (NoteAdded) apply(*State, Record) {}
func (Refused) apply(*State, Record)   {}
