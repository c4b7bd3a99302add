package line

import (
	"slices"
	"time"

	"shedbell/power"
)

// place moves a batch into a slot without starting anything.
func (s *State) place(id int, to Place) *Batch {
	b := s.batch(id)
	if b == nil {
		return nil
	}
	b.Fate = OnLine
	b.Step = Step{Place: to, Progress: Loaded, Load: NoLoad}
	return b
}

func (s *State) startStep(e StepStarted, r Record) {
	b := s.batch(e.Batch)
	if b == nil {
		return
	}
	if !b.WetSince.IsZero() {
		b.WetSoFar += max(0, r.At.Sub(b.WetSince))
		b.WetSince = time.Time{}
	}
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
	if b == nil {
		return
	}
	kind := s.Site.Stations[b.Step.Place.Station].Kind
	if kind == Wash || kind == Spin {
		b.WetSince = at
		if due, ok := b.Step.DueAt(); ok && due.Before(at) {
			b.WetSince = due
		}
		if b.Step.Progress == Held || b.Step.Progress == Interrupted {
			b.WetSince = b.Step.Stopped
		}
	}
	if kind == Dry {
		b.WetSince = time.Time{}
	}
	if kind == Cut {
		s.Trays.Dirty += b.Trays
	}
	if kind == Pack {
		b.Packages, b.NetG, b.Lot = e.Packages, e.NetG, e.Lot
	}
	load := b.Step.Load
	b.Step.Progress, b.Step.Ended, b.Step.Load = Finished, at, NoLoad
	s.release(load, at)
}

func (s *State) cool(e BatchCooled, at time.Time) {
	if b := s.batch(e.Batch); b != nil {
		b.Fate, b.ColdAt = Cold, at
		b.Step = Step{Place: Nowhere, Load: NoLoad}
		b.WetSince = time.Time{}
	}
}

func (s *State) adjustStep(e StepAdjusted) {
	if step := s.step(e.At); step != nil {
		step.Planned += e.By
		s.retime(step.Load)
	}
}

func (s *State) holdStep(e StepHeld, at time.Time) {
	step := s.step(e.At)
	if step == nil {
		return
	}
	step.Progress, step.Stopped = Held, at
	if b, _ := s.Occupant(e.At); b != nil && s.isWet(e.At) {
		b.WetSince = at
	}
	s.release(step.Load, at)
}

// isWet says whether greens stopped at this place are waiting wet.
func (s *State) isWet(p Place) bool {
	k := s.Site.Stations[p.Station].Kind
	return k == Wash || k == Spin || k == Dry
}

func (s *State) resumeStep(e StepResumed, at time.Time) {
	step := s.step(e.At)
	if step == nil {
		return
	}
	if e.Afresh {
		step.Started, step.Paused = at, 0
	} else {
		step.Paused += at.Sub(step.Stopped)
	}
	step.Progress, step.Stopped, step.Setting = Running, time.Time{}, e.Setting
	if b, _ := s.Occupant(e.At); b != nil && !b.WetSince.IsZero() {
		b.WetSoFar += max(0, at.Sub(b.WetSince))
		b.WetSince = time.Time{}
	}
	s.power(step.Load, e.Setting, at)
}

func (s *State) startChore(e ChoreStarted, r Record) {
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

func (s *State) switchLoad(e LoadSwitched, at time.Time) {
	st := power.Status{On: e.On, Setting: e.Setting, Since: at}
	if e.On && e.For > 0 {
		st.Until = at.Add(e.For)
	}
	s.Power = s.Power.Switched(&s.Site.Panel, e.Load, st, at)
}

// power switches a step's load on, or keeps it on with its new end.
func (s *State) power(load, setting int, at time.Time) {
	if load == NoLoad {
		return
	}
	st := s.Power.Loads[load]
	if !st.On || st.Setting != setting {
		st = power.Status{On: true, Setting: setting, Since: at}
	}
	st.Until = s.loadUntil(load)
	s.Power = s.Power.Switched(&s.Site.Panel, load, st, at)
}

// release switches a load off once no running step keeps it on.
func (s *State) release(load int, at time.Time) {
	if load == NoLoad {
		return
	}
	if s.LoadUsers(load, Nowhere) == 0 {
		s.Power = s.Power.Switched(&s.Site.Panel, load, power.Status{}, at)
		return
	}
	s.retime(load)
}

// retime moves the end of a load that stays on to the last of its steps.
func (s *State) retime(load int) {
	if load == NoLoad || !s.Power.Loads[load].On {
		return
	}
	st := s.Power.Loads[load]
	st.Until = s.loadUntil(load)
	s.Power = s.Power.Retimed(load, st.Until)
}

// loadUntil is when the last running step that keeps a load on is due; zero when
// one of them has no countdown.
func (s *State) loadUntil(load int) time.Time {
	var until time.Time
	open := false
	each := func(step *Step) {
		if !step.keepsOn(load) {
			return
		}
		if at, ok := step.DueAt(); ok {
			if at.After(until) {
				until = at
			}
		} else {
			open = true
		}
	}
	for i := range s.Batches {
		if s.Batches[i].Fate == OnLine {
			each(&s.Batches[i].Step)
		}
	}
	for i := range s.Chores {
		each(&s.Chores[i].Step)
	}
	if open {
		return time.Time{}
	}
	return until
}

// trip takes every load on a circuit off and holds the steps that they served.
func (s *State) trip(circuit int, at time.Time) {
	s.Power = s.Power.Tripped(&s.Site.Panel, circuit, at)
	s.Batches, s.Chores = slices.Clone(s.Batches), slices.Clone(s.Chores)
	stop := func(step *Step) bool {
		if step.Load == NoLoad || step.Progress != Running || s.Site.Panel.Loads[step.Load].Circuit != circuit {
			return false
		}
		step.Progress, step.Stopped = Held, at
		return true
	}
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Fate == OnLine && stop(&b.Step) && s.isWet(b.Step.Place) {
			b.WetSince = at
		}
	}
	for i := range s.Chores {
		stop(&s.Chores[i].Step)
	}
}

// interrupt marks every countdown that nobody watched since lastBeat. The machine
// may still run, so its load goes on counting until somebody says otherwise.
func (s *State) interrupt(lastBeat time.Time) {
	s.Batches, s.Chores = slices.Clone(s.Batches), slices.Clone(s.Chores)
	stop := func(step *Step) bool {
		if step.Progress != Running || step.Planned == 0 {
			return false
		}
		step.Progress, step.Stopped = Interrupted, lastBeat
		if step.Stopped.Before(step.Started) {
			step.Stopped = step.Started
		}
		return true
	}
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Fate != OnLine {
			continue
		}
		due, _ := b.Step.DueAt()
		if stop(&b.Step) && s.isWet(b.Step.Place) {
			b.WetSince = b.Step.Stopped
			if due.Before(b.WetSince) {
				b.WetSince = due
			}
		}
	}
	for i := range s.Chores {
		stop(&s.Chores[i].Step)
	}
}
