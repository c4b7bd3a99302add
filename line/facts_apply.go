package line

import (
	"slices"
	"time"

	"shedbell/power"
)

// Where something entered for a later time says that it is
// off, it counts as on all along until somebody says what it does.
func (e FoundOn) apply(s *State, r Record) {
	if !s.hasLoad(e.Load) {
		return
	}
	at := r.when(e.AsOf)
	s.goOn(e.Load, e.Setting, at)
	st := power.Status{On: true, Setting: e.Setting, Since: at, PlugSeen: at, Until: s.loadUntil(e.Load), Spoils: s.spoils(e.Load), Metered: e.Meter}
	if e.Meter && !st.Until.After(at) {
		st.Until = time.Time{} // it goes on after its time
	}
	t := telling{at: at, load: e.Load, change: func(p *power.Panel, ps power.State) power.State {
		if c := p.Loads[e.Load].Circuit; ps.Open(c) { // it has power
			ps = ps.Live(p, c, at)
		}
		return ps.Switched(p, e.Load, st, at)
	}}
	told := *s
	told.tell(t)
	settings, is := told.Site.Panel.Loads[e.Load].Settings, &told.Power.Loads[e.Load]
	as := settings[min(max(is.Setting, 0), len(settings)-1)]
	if is.LeftOn || is.On && as.AmpsA >= settings[e.Setting].AmpsA {
		*s = told
	} else {
		t.doubt = true
		s.tell(t)
	}
	s.settle(at)
}

// doubt has a load that is on count so until somebody says what it does, while the
// books say something else, and every breaker as warm as in another state.
func (s *State) doubt(load int, books power.Status, hot power.State, now time.Time) {
	now = now.Round(0)
	s.PowerPast = s.PowerPast.with(now, s.Power, s.circuits())
	s.Power = s.Power.Doubted(load, books).AsHot(&s.Site.Panel, hot, now)
}

// goOn has the steps that a load serves run since it does.
func (s *State) goOn(load, setting int, at time.Time) {
	s.Batches, s.Chores = slices.Clone(s.Batches), slices.Clone(s.Chores)
	for i := range s.Batches {
		if b := &s.Batches[i]; b.Fate == OnLine && b.Step.goesOn(load, setting, at) {
			b.endWet(later(at, b.WetSince))
		}
	}
	for i := range s.Chores {
		s.Chores[i].Step.goesOn(load, setting, at)
	}
}

func (s *Step) goesOn(load, setting int, at time.Time) bool {
	if s.Load != load || !s.Active() {
		return false
	}
	s.Setting = setting
	if s.Progress == Running {
		return false
	}
	s.Paused += max(0, at.Sub(s.Stopped))
	s.Progress, s.Stopped = Running, time.Time{}
	return true
}

func (e FoundOff) apply(s *State, r Record) { s.foundOff(e.Load, false, r.when(e.AsOf), r.At) }

func (e Unplugged) apply(s *State, r Record) { s.foundOff(e.Load, true, r.when(e.AsOf), r.At) }

// foundOff has a load off since an instant. Where it was started again after that, it
// is in doubt, unless a step says what it does.
func (s *State) foundOff(load int, unplugged bool, at, now time.Time) {
	if !s.hasLoad(load) {
		return
	}
	before := s.Power
	s.tell(telling{at: at, change: func(p *power.Panel, ps power.State) power.State {
		if unplugged {
			return ps.Unplugged(p, load, at)
		}
		return ps.Switched(p, load, power.Status{DeclaredOff: ps.Loads[load].DeclaredOff, Since: at}, at)
	}})
	switch {
	case !s.Power.Loads[load].On:
		s.stopSteps(func(i int) bool { return i == load }, at)
	case s.LoadUsers(load, Nowhere) == 0:
		s.doubt(load, power.Status{}, before, now)
	}
	s.settle(at)
}

// stopSteps holds the steps of the loads that have been off since an instant. One
// that nobody watched has run until then.
func (s *State) stopSteps(of func(load int) bool, at time.Time) {
	s.Batches, s.Chores = slices.Clone(s.Batches), slices.Clone(s.Chores)
	stopped := func(step *Step) (time.Time, bool) {
		if !s.hasLoad(step.Load) || !step.keepsOn(step.Load) || !of(step.Load) || s.Power.Loads[step.Load].On && step.Started.After(at) {
			return at, false
		}
		if step.Progress == Interrupted && step.Stopped.Before(at) {
			step.Progress = Running
		}
		return later(at, step.Started), true
	}
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Fate != OnLine {
			continue
		}
		unwatched := b.Step.Progress == Interrupted
		if end, ok := stopped(&b.Step); ok {
			if unwatched && b.Step.Progress == Running {
				b.WetSince = time.Time{} // it ran on
			}
			b.startWet(s.Site.Stations[b.Step.Place.Station].Kind, end)
			b.Step.hold(end)
		}
	}
	for i := range s.Chores {
		if end, ok := stopped(&s.Chores[i].Step); ok {
			s.Chores[i].Step.hold(end)
		}
	}
}

// A plug that goes into another outlet takes with it what its load does. On a circuit
// without power it does nothing.
func (e PluggedIn) apply(s *State, r Record) {
	if !s.hasLoad(e.Load) || !s.hasCircuit(e.Circuit) {
		return
	}
	at := r.when(e.AsOf)
	s.tell(telling{at: at, load: e.Load, plug: true, to: e.Circuit, change: func(p *power.Panel, ps power.State) power.State {
		to := *p
		to.Loads = slices.Clone(p.Loads)
		to.Loads[e.Load].Circuit = e.Circuit
		return ps.Replugged(p, &to, e.Load, at)
	}})
	if !s.Power.Loads[e.Load].On {
		s.stopSteps(func(i int) bool { return i == e.Load }, at)
	}
	s.settle(at)
}

func (e PowerLost) apply(s *State, r Record) {
	at := r.when(e.AsOf)
	for _, c := range s.supplied(e.Circuit, e.Everywhere) {
		if !s.hasCircuit(c) {
			continue
		}
		s.cut([]int{c}, at, func(p *power.Panel, ps power.State) power.State {
			if ps.Open(c) {
				return ps
			}
			return ps.Lost(p, c, at)
		})
	}
}

func (e PowerBack) apply(s *State, r Record) {
	for _, c := range s.supplied(e.Circuit, e.Everywhere) {
		if !s.hasCircuit(c) {
			continue
		}
		at := r.when(e.AsOf)
		if s.Power.Dark(c) {
			at = later(at, s.Tripped[c])
		}
		s.tell(telling{at: at, change: func(p *power.Panel, ps power.State) power.State {
			if ps.Dark(c) {
				return ps.Live(p, c, at)
			}
			return ps
		}})
	}
	s.settle(r.when(e.AsOf))
}

// cut takes the power from circuits and holds the steps on them. What has been started
// since stays on.
func (s *State) cut(circuits []int, at time.Time, change func(p *power.Panel, ps power.State) power.State) {
	s.tell(telling{at: at, change: change})
	p := &s.Site.Panel
	s.Tripped = slices.Clone(s.Tripped)
	if s.Tripped == nil {
		s.Tripped = make([]time.Time, len(p.Circuits))
	}
	for _, c := range circuits {
		if s.Power.Open(c) {
			s.Tripped[c] = at
		}
	}
	s.stopSteps(func(load int) bool {
		st := &s.Power.Loads[load]
		return slices.Contains(circuits, p.Loads[load].Circuit) && (!st.On || st.InDoubt)
	}, at)
	s.settle(at)
}

// settle has machines do what steps begun since say, and holds the steps of those of
// which none does from an instant on.
func (s *State) settle(at time.Time) {
	for i := range s.Power.Loads {
		st := &s.Power.Loads[i]
		if !st.InDoubt || st.Books >= 0 || s.LoadUsers(i, Nowhere) == 0 {
			continue
		}
		begun := false
		s.eachStep(func(step *Step) { begun = begun || step.keepsOn(i) && !step.Started.Before(st.Since) })
		if begun {
			s.Power = s.Power.Settled(i)
		} else {
			s.stopSteps(func(load int) bool { return load == i }, st.Since)
		}
	}
	s.agree(at)
}

// live gives circuits their power back.
func (s *State) live(circuits []int, at time.Time) {
	for _, c := range circuits {
		if !s.hasCircuit(c) {
			continue
		}
		s.tell(telling{at: at, change: func(p *power.Panel, ps power.State) power.State {
			return ps.Live(p, c, at)
		}})
	}
	s.settle(at)
}
