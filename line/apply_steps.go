package line

import (
	"slices"
	"time"
)

func (e BatchLoaded) apply(s *State, r Record) {
	b := s.batch(e.Batch)
	if b == nil || !s.valid(e.At) {
		return
	}
	s.leaveRacks(b, r.At)
	b.Fate = OnLine
	b.Step = Step{Place: e.At, Progress: Loaded, Load: NoLoad}
}

func (e StepStarted) apply(s *State, r Record) {
	b := s.batch(e.Batch)
	if b == nil || !s.valid(e.At) {
		return
	}
	b.endWet(r.At)
	s.Clean = time.Time{} // greens on the surfaces again
	s.leaveRacks(b, r.At)
	b.Fate = OnLine
	b.Step = Step{Place: e.At, Progress: Running, Started: r.At, Planned: e.Planned,
		Load: e.Load, Setting: e.Setting, Revision: e.Revision, By: r.By, ByHand: e.ByHand}
	if e.Again {
		b.secondTime(s.Site.Stations[e.At.Station].Kind)
	}
	if s.Site.Stations[e.At.Station].Kind == Wash {
		s.Water = slices.Clone(s.Water)
		w := &s.Water[e.At.Station]
		w.Batches++
		if !slices.Contains(w.Crops, b.Crop) {
			w.Crops = append(slices.Clone(w.Crops), b.Crop)
		}
	}
	s.power(e.Load, e.Setting, r.At)
}

func (e StepFinished) apply(s *State, r Record) {
	b := s.batch(e.Batch)
	if b == nil || b.Fate != OnLine {
		return
	}
	kind := s.Site.Stations[b.Step.Place.Station].Kind
	s.noteRan(b, r.At)
	switch kind {
	case Wash, Spin:
		b.startWet(kind, r.At)
	case Dry:
		b.endWet(r.At)
	}
	if kind == Cut {
		s.Trays.Dirty += b.Trays
	}
	if kind == Pack {
		recipe, _ := s.Recipe(b.Crop)
		b.Packages, b.NetG, b.Lot = e.Packages, e.NetG, e.Lot
		b.PackagesBy, b.NetBy = e.Known(&recipe, b.Trays)
		b.notePacked(r.At)
	}
	load := b.Step.Load
	if b.Step.Progress != Running {
		b.Step.Paused += max(0, r.At.Sub(b.Step.Stopped)) // time that it was held is no time that it ran
	}
	b.Step.Progress, b.Step.Ended, b.Step.Load = Finished, r.At, NoLoad
	s.release(load, r.At)
}

func (e BatchCooled) apply(s *State, r Record) {
	if b := s.batch(e.Batch); b != nil && b.Fate == OnLine {
		b.endWet(r.At)
		b.Fate, b.ColdAt = Cold, r.At
		b.Step = Step{Place: Nowhere, Load: NoLoad}
	}
}

func (e StepAdjusted) apply(s *State, r Record) {
	if step := s.step(e.At); step != nil {
		step.Planned += e.By
		if step.keepsOn(step.Load) { // a held one gives its machine no time
			s.retime(step.Load, r.At)
		}
	}
}

func (e StepHeld) apply(s *State, r Record) {
	step := s.step(e.At)
	if step == nil {
		return
	}
	if b, _ := s.Occupant(e.At); b != nil {
		b.startWet(s.Site.Stations[e.At.Station].Kind, r.At)
	}
	step.hold(r.At)
	s.release(step.Load, r.At)
}

// hold stops a step with its machine confirmed off. An interrupted one has
// stopped already.
func (s *Step) hold(at time.Time) {
	if s.Progress == Running {
		s.Stopped = at
	}
	s.Progress = Held
}

func (e StepResumed) apply(s *State, r Record) {
	step := s.step(e.At)
	if step == nil {
		return
	}
	if e.Afresh {
		if b, _ := s.Occupant(e.At); b != nil {
			s.noteRan(b, r.At)
		}
		step.Started, step.Paused = r.At, 0
	} else {
		step.Paused += max(0, r.At.Sub(step.Stopped))
	}
	step.Progress, step.Stopped, step.Setting = Running, time.Time{}, e.Setting
	if e.ByHand {
		step.ByHand, step.Load, step.Planned = true, NoLoad, e.Planned
	}
	if b, _ := s.Occupant(e.At); b != nil {
		b.endWet(r.At)
		s.refilled(b, r)
	}
	s.power(step.Load, e.Setting, r.At)
}

func (e ChoreStarted) apply(s *State, r Record) {
	if !s.valid(e.At) {
		return
	}
	s.Chores = append(slices.Clone(s.Chores), Chore{ID: e.ID, Kind: e.Kind, Crop: e.Crop, Trays: e.Trays,
		Step: Step{Place: e.At, Progress: Running, Started: r.At, Planned: e.Planned, Load: e.Load, Setting: e.Setting, By: r.By, ByHand: e.ByHand}})
	s.ChoreID = max(s.ChoreID, e.ID)
	switch e.Kind {
	case WashTrays:
		s.Trays.Dirty -= e.Trays
	case SanitizeAll:
		s.Trays.Washed -= e.Trays
	case SowTrays:
		s.Trays.Sanitized -= e.Trays
	}
	s.power(e.Load, e.Setting, r.At)
}

func (e ChoreFinished) apply(s *State, r Record) {
	i := slices.IndexFunc(s.Chores, func(c Chore) bool { return c.ID == e.ID })
	if i < 0 {
		return
	}
	c := s.Chores[i]
	s.Chores = slices.Delete(slices.Clone(s.Chores), i, i+1)
	switch c.Kind {
	case WashTrays:
		s.Trays.Washed += c.Trays
	case SanitizeAll:
		s.Trays.Sanitized += c.Trays
		s.Clean = r.At
	case SowTrays:
		s.Trays.Sown += c.Trays
		s.sown(c.Crop, c.Trays)
		seed, _ := s.SeedOf(c.Crop)
		s.Growing = s.Growing.Add(Grown{Sowing: r.Seq, Crop: c.Crop, Sown: r.At, SeedLot: seed.SeedLot, Trays: c.Trays})
	case ChangeWater:
		s.Water = slices.Clone(s.Water)
		s.Water[c.Step.Place.Station] = Water{Since: r.At}
	}
	s.release(c.Step.Load, r.At)
}

// sown takes trays off the sow list.
func (s *State) sown(crop string, trays int) {
	s.Sowing = slices.Clone(s.Sowing)
	for i := range s.Sowing {
		if s.Sowing[i].Crop == crop && trays > 0 {
			n := min(trays, s.Sowing[i].Trays)
			s.Sowing[i].Trays -= n
			trays -= n
		}
	}
}
