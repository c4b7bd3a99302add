package power

import "time"

// Status is what one load is doing.
type Status struct {
	On      bool
	Setting int       // index into Load.Settings while On
	Since   time.Time // switched on at, or last seen on or off
	Until   time.Time // countdown end; zero when open-ended. Passing it means off only for SelfOff loads

	// DeclaredOff says that somebody has unplugged a load that cycles by itself,
	// so that nothing needs to be reserved for it.
	DeclaredOff bool
	PlugSeen    time.Time // when somebody last saw its plug, in or out
	Outlet      time.Time // and when in the outlet where it is
	// Spoils says that switching it off now would spoil a batch, so that a
	// refusal never names it as a way out.
	Spoils bool

	// InDoubt says that an entry about the load was taken back and nobody has said yet
	// what it does: it counts as On at Setting, which it may not be. Books is the
	// setting that the books have, -1 where they have it off; Setting itself where they
	// have it on for a time that is over.
	InDoubt bool
	Books   int

	// Metered says that a meter found it on and nobody has said so yet.
	Metered bool `json:",omitzero"`

	// LeftOn says that it was on, at LeftAt, when its circuit lost its power and that
	// nobody has found it switched off since: with the power it may come on again.
	LeftOn bool
	LeftAt int // index into Load.Settings, with LeftOn

	// Started is when its motor last started or sped up, and OnSince since when it
	// has been on without a break. Switched keeps both.
	Started time.Time
	OnSince time.Time
}

// State is the status of every load, aligned with Panel.Loads, and what the
// breakers have been through. It is a value: the methods return a new one and
// leave the old as it was.
type State struct {
	Loads        []Status
	OpenCircuits []bool // circuits without power, aligned with Panel.Circuits; nil while none is
	DarkCircuits []bool // those of them whose breaker is in; nil while none is

	// Heat is the thermal state of every breaker pole: first the circuits, then
	// two legs for each feeder. Nil means that nothing has been switched yet.
	Heat []Heat
}

// Heat is the thermal state of a breaker at an instant: 0 is cold, 1 trips.
type Heat struct {
	Level float64
	Short float64 // share of the published short time that starting currents have used up
	At    time.Time
}

// NewState returns a state with every load off.
func NewState(p *Panel) State {
	return State{Loads: make([]Status, len(p.Loads))}
}

// Switched returns the state with one load set to st at the instant now. It
// carries on how warm the breakers are and when the load's motor last started.
func (s State) Switched(p *Panel, load int, st Status, now time.Time) State {
	now = now.Round(0) // heat must come out the same when a journal is replayed
	next := s
	next.Heat = s.heatAt(p, p.Loads[load].Circuit, now)
	next.Loads = make([]Status, len(s.Loads))
	copy(next.Loads, s.Loads)
	next.Loads[load] = p.carried(s, load, st, now)
	return next
}

// carried fills in what a new status takes over from the old one.
func (p *Panel) carried(s State, load int, st Status, now time.Time) Status {
	was := s.Loads[load]
	if st.PlugSeen.IsZero() {
		st.PlugSeen = was.PlugSeen
	}
	if st.Outlet.IsZero() {
		st.Outlet = was.Outlet
	}
	if !st.On {
		st.Started, st.OnSince = time.Time{}, time.Time{}
		return st
	}
	at := st.Since
	if at.IsZero() {
		at = now
	}
	if !s.Drawing(p, load, now) {
		st.Started, st.OnSince = at, at
		return st
	}
	st.OnSince = was.onSince()
	st.Started = was.started()
	if was.PerhapsOff() || p.settingA(load, st.Setting) > p.settingA(load, was.Setting)+slackA {
		st.Started = now
	}
	return st
}

func (st *Status) started() time.Time {
	if st.Started.IsZero() {
		return st.Since
	}
	return st.Started
}

func (st *Status) onSince() time.Time {
	if st.OnSince.IsZero() {
		return st.Since
	}
	return st.OnSince
}

// Unplugged returns the state with a load's plug out since an instant.
func (s State) Unplugged(p *Panel, load int, now time.Time) State {
	return s.Switched(p, load, Status{DeclaredOff: true, Since: now, PlugSeen: now}, now)
}

// Retimed returns the state with the end of a load's countdown moved. The load is
// not switched.
func (s State) Retimed(load int, until time.Time) State {
	loads := make([]Status, len(s.Loads))
	copy(loads, s.Loads)
	loads[load].Until = until
	s.Loads = loads
	return s
}

// reserved says whether a load may start by itself at any moment.
func (s State) reserved(p *Panel, load int) bool {
	l, st := &p.Loads[load], &s.Loads[load]
	return l.Cycles && !st.DeclaredOff && (st.InDoubt || !s.Open(l.Circuit))
}

// Drawing says whether a load counts its amps at the instant now: it is on and
// has not been confirmed off. Only a load that switches itself off stops
// counting when its time is up.
func (s State) Drawing(p *Panel, load int, now time.Time) bool {
	st := &s.Loads[load]
	if !st.On {
		return false
	}
	if p.Loads[load].SelfOff && !st.Until.IsZero() && !now.Before(st.Until) {
		return false
	}
	return true
}
