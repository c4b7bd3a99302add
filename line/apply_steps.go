package line

import (
	"slices"
	"time"
)

// place moves a batch into a slot without starting anything.
func (s *State) place(id int, to Place) *Batch {
	b := s.batch(id)
	if b == nil || !s.valid(to) {
		return nil
	}
	b.Fate = OnLine
	b.Step = Step{Place: to, Progress: Loaded, Load: NoLoad}
	return b
}

func (s *State) startStep(e StepStarted, r Record) {
	b := s.batch(e.Batch)
	if b == nil || !s.valid(e.At) {
		return
	}
	b.endWet(r.At)
	s.Clean = time.Time{} // greens on the surfaces again
	b.Fate = OnLine
	b.Step = Step{Place: e.At, Progress: Running, Started: r.At, Planned: e.Planned,
		Load: e.Load, Setting: e.Setting, Revision: e.Revision, By: r.By}
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

func (s *State) finishStep(e StepFinished, at time.Time) {
	b := s.batch(e.Batch)
	if b == nil || b.Fate != OnLine {
		return
	}
	kind := s.Site.Stations[b.Step.Place.Station].Kind
	s.noteRan(b, at)
	switch kind {
	case Wash, Spin:
		b.startWet(kind, at)
	case Dry:
		b.endWet(at)
	}
	if kind == Cut {
		s.Trays.Dirty += b.Trays
	}
	if kind == Pack {
		b.Packages, b.NetG, b.Lot = e.Packages, e.NetG, e.Lot
		b.notePacked(at)
	}
	load := b.Step.Load
	b.Step.Progress, b.Step.Ended, b.Step.Load = Finished, at, NoLoad
	s.release(load, at)
}

func (s *State) cool(e BatchCooled, at time.Time) {
	if b := s.batch(e.Batch); b != nil && b.Fate == OnLine {
		b.endWet(at)
		b.Fate, b.ColdAt = Cold, at
		b.Step = Step{Place: Nowhere, Load: NoLoad}
	}
}

func (s *State) adjustStep(e StepAdjusted, at time.Time) {
	if step := s.step(e.At); step != nil {
		step.Planned += e.By
		s.retime(step.Load, at)
	}
}

func (s *State) holdStep(e StepHeld, at time.Time) {
	step := s.step(e.At)
	if step == nil {
		return
	}
	if b, _ := s.Occupant(e.At); b != nil {
		b.startWet(s.Site.Stations[e.At.Station].Kind, at)
	}
	step.hold(at)
	s.release(step.Load, at)
}

// hold stops a step with its machine confirmed off. An interrupted one has
// stopped already.
func (s *Step) hold(at time.Time) {
	if s.Progress == Running {
		s.Stopped = at
	}
	s.Progress = Held
}

func (s *State) resumeStep(e StepResumed, at time.Time) {
	step := s.step(e.At)
	if step == nil {
		return
	}
	if e.Afresh {
		if b, _ := s.Occupant(e.At); b != nil {
			s.noteRan(b, at)
		}
		step.Started, step.Paused = at, 0
	} else {
		step.Paused += max(0, at.Sub(step.Stopped))
	}
	step.Progress, step.Stopped, step.Setting = Running, time.Time{}, e.Setting
	if b, _ := s.Occupant(e.At); b != nil {
		b.endWet(at)
	}
	s.power(step.Load, e.Setting, at)
}

func (s *State) startChore(e ChoreStarted, r Record) {
	if !s.valid(e.At) {
		return
	}
	s.Chores = append(slices.Clone(s.Chores), Chore{ID: e.ID, Kind: e.Kind, Crop: e.Crop, Trays: e.Trays,
		Step: Step{Place: e.At, Progress: Running, Started: r.At, Planned: e.Planned, Load: e.Load, Setting: e.Setting, By: r.By}})
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

func (s *State) finishChore(e ChoreFinished, at time.Time) {
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
		s.Clean = at
	case SowTrays:
		s.Trays.Sown += c.Trays
		s.sown(c.Crop, c.Trays)
	case ChangeWater:
		s.Water = slices.Clone(s.Water)
		s.Water[c.Step.Place.Station] = Water{Since: at}
	}
	s.release(c.Step.Load, at)
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
