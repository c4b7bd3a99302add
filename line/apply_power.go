package line

import (
	"slices"
	"time"

	"shedbell/power"
)

func (s *State) hasLoad(load int) bool { return load >= 0 && load < len(s.Site.Panel.Loads) }

func (s *State) hasCircuit(circuit int) bool {
	return circuit >= 0 && circuit < len(s.Site.Panel.Circuits)
}

// eachStep calls f with every step on the line. Who changes a step has given the
// state lists of its own before.
func (s *State) eachStep(f func(*Step)) {
	for i := range s.Batches {
		if s.Batches[i].Fate == OnLine {
			f(&s.Batches[i].Step)
		}
	}
	for i := range s.Chores {
		f(&s.Chores[i].Step)
	}
}

// A load that is switched by hand and serves running steps is not over before
// they are.
func (e LoadSwitched) apply(s *State, r Record) {
	if !s.hasLoad(e.Load) {
		return
	}
	if e.On && s.LoadUsers(e.Load, Nowhere) > 0 {
		s.Power = s.Power.Settled(e.Load)
		s.power(e.Load, e.Setting, r.At)
		if until := s.Power.Loads[e.Load].Until; !until.IsZero() && e.For > 0 {
			s.Power = s.Power.Retimed(e.Load, later(until, r.At.Add(e.For)))
		}
		return
	}
	st := power.Status{On: e.On, Setting: e.Setting, Since: r.At}
	if e.On && e.For > 0 {
		st.Until = r.At.Add(e.For)
	}
	if !e.On {
		st = power.Status{}
	}
	s.Power = s.Power.Switched(&s.Site.Panel, e.Load, st, r.At)
}

// spoils says whether stopping a load would spoil greens: they have used up most of
// the wet wait that their recipe allows, so the interlock must not ask for it.
func (s *State) spoils(load int) bool {
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Fate != OnLine || !b.Step.keepsOn(load) {
			continue
		}
		if limit := s.WetLimit(b); limit > 0 && float64(b.WetSoFar) >= nearlyWet*float64(limit) {
			return true
		}
	}
	return false
}

// power switches a step's load on, or keeps it on with its new end. A bank that
// serves several slots has one setting for all of them; who only puts one step more on
// it does not say that it runs at what the books have.
func (s *State) power(load, setting int, at time.Time) {
	if !s.hasLoad(load) {
		return
	}
	st := s.Power.Loads[load]
	if setTo, _ := st.InBooks(); !s.Power.Drawing(&s.Site.Panel, load, at) || st.PerhapsOff() || setTo != setting {
		st = power.Status{On: true, Setting: setting, Since: at}
	}
	st.Until, st.Metered = s.loadUntil(load), false
	st.Spoils = s.spoils(load)
	s.Power = s.Power.Switched(&s.Site.Panel, load, st, at)

	differs := false
	s.eachStep(func(step *Step) { differs = differs || step.keepsOn(load) && step.Setting != setting })
	if !differs {
		return
	}
	s.Batches, s.Chores = slices.Clone(s.Batches), slices.Clone(s.Chores)
	s.eachStep(func(step *Step) {
		if step.keepsOn(load) {
			step.Setting = setting
		}
	})
}

// release switches a load off once no running step keeps it on.
func (s *State) release(load int, at time.Time) {
	if !s.hasLoad(load) {
		return
	}
	if s.LoadUsers(load, Nowhere) == 0 && !s.Site.Panel.Loads[load].StaysOn {
		s.Power = s.Power.Switched(&s.Site.Panel, load, power.Status{}, at)
		return
	}
	s.retime(load, at)
}

// retime moves the end of a load that stays on to the last of its steps. One that
// has switched itself off starts again when it gets more time.
func (s *State) retime(load int, at time.Time) {
	if !s.hasLoad(load) || !s.Power.Loads[load].On {
		return
	}
	st, p := s.Power.Loads[load], &s.Site.Panel
	until := s.loadUntil(load)
	if !s.Power.Drawing(p, load, at) && (until.IsZero() || until.After(at)) {
		s.Power = s.Power.Switched(p, load, power.Status{On: true, Setting: st.Setting, Since: at, Until: until}, at)
		return
	}
	s.Power = s.Power.Retimed(load, until)
}

// loadUntil is when the last step that keeps a load on is due, interrupted ones as
// if they had gone on; zero when one of them has no countdown.
func (s *State) loadUntil(load int) time.Time {
	var until time.Time
	open := false
	s.eachStep(func(step *Step) {
		if !step.keepsOn(load) {
			return
		}
		if step.Planned == 0 {
			open = true
		}
		until = later(until, step.countdownEnd())
	})
	if open {
		return time.Time{}
	}
	return until
}

// circuitsOf lists the circuits that a breaker feeds: one, or all of a feeder.
func (s *Site) circuitsOf(circuit int, feeder string) []int {
	if feeder == "" {
		return []int{circuit}
	}
	var out []int
	for c := range s.Panel.Circuits {
		if s.Panel.Circuits[c].Feeder == feeder {
			out = append(out, c)
		}
	}
	return out
}

// feeder is the index of a feeder.
func (s *Site) feeder(name string) (int, bool) {
	i := slices.IndexFunc(s.Panel.Feeders, func(f power.Feeder) bool { return f.Name == name })
	return i, i >= 0
}

func (e BreakerTripped) apply(s *State, r Record) {
	at := r.when(e.AsOf)
	if e.Feeder == "" {
		s.keepTrip(&e, at)
		s.trip(e.Circuit, at)
		return
	}
	if f, ok := s.Site.feeder(e.Feeder); ok {
		s.cut(s.Site.circuitsOf(0, e.Feeder), at, func(p *power.Panel, ps power.State) power.State { return ps.FeederTripped(p, f, at) })
	}
}

func (e BreakerReset) apply(s *State, r Record) {
	for _, c := range s.Site.circuitsOf(e.Circuit, e.Feeder) {
		switch {
		case !s.hasCircuit(c):
		case e.Asks:
			s.live([]int{c}, r.when(e.AsOf))
		default:
			s.Power = s.Power.Reset(&s.Site.Panel, c, r.At)
			s.closed(c)
		}
	}
}

// trip takes every load on a circuit off and holds the steps that they served.
func (s *State) trip(circuit int, at time.Time) {
	if s.hasCircuit(circuit) {
		s.cut([]int{circuit}, at, func(p *power.Panel, ps power.State) power.State { return ps.Tripped(p, circuit, at) })
	}
}

// A lost watch interrupts every step with a countdown or a machine that nobody watched
// since the last beat. The machine may still run, so its load goes on counting until
// somebody says otherwise.
func (e WatchLost) apply(s *State, r Record) {
	s.Batches, s.Chores = slices.Clone(s.Batches), slices.Clone(s.Chores)
	stopped := func(step *Step) (time.Time, bool) {
		if step.Progress != Running || step.Planned == 0 && step.Load == NoLoad {
			return time.Time{}, false
		}
		at := e.LastBeat
		if at.After(r.At) {
			at = r.At
		}
		return later(at, step.Started), true
	}
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Fate != OnLine {
			continue
		}
		if at, ok := stopped(&b.Step); ok {
			b.startWet(s.Site.Stations[b.Step.Place.Station].Kind, at)
			b.Step.Progress, b.Step.Stopped = Interrupted, at
		}
	}
	for i := range s.Chores {
		if at, ok := stopped(&s.Chores[i].Step); ok {
			s.Chores[i].Step.Progress, s.Chores[i].Step.Stopped = Interrupted, at
		}
	}
}
