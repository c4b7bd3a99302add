// Package power answers one question: may this load be switched on now?
//
// It is plain arithmetic over what hangs on which breaker. It does no I/O and
// has no clock; instants come in as values. Currents are in amperes, voltages in
// volts. It advises a person and is no protective device: local code and a
// licensed electrician decide.
package power

import "time"

// Panel is the fixed wiring: feeders, circuits and the loads on them. Loads and
// circuits are referred to by their index in these slices everywhere else.
type Panel struct {
	VoltageV float64 // nominal voltage of the supply, leg to neutral
	Feeders  []Feeder
	Circuits []Circuit
	Loads    []Load
}

// Feeder is a breaker that several circuits hang on, with its own rating per leg.
type Feeder struct {
	Name    string
	RatingA float64
}

// Leg is the side of a split-phase supply that a circuit hangs on.
type Leg uint8

// Legs of a split-phase supply. LegBoth is a two-pole circuit.
const (
	LegNone Leg = iota
	LegA
	LegB
	LegBoth
)

// Circuit is one breaker and what it protects.
type Circuit struct {
	Name    string
	RatingA float64
	Feeder  string // name of the feeder it hangs on, or empty
	Leg     Leg
}

// Load is anything electrical that draws current.
type Load struct {
	Name         string
	Circuit      int       // index into Panel.Circuits
	Settings     []Setting // at least one; a plain load has one called "on"
	StartingA    float64   // current while starting; 0 when it starts at its running current
	StartingTime time.Duration
	SelfOff      bool // switches itself off when its time is up
	Alone        bool // runs alone: everything that can be switched off must be off
	Cycles       bool // starts and stops by itself, so its worst moment is always reserved
	StaysOn      bool // must not be switched off to make room (cold storage, lights)
}

// Setting is one way a load can run.
type Setting struct {
	Name  string
	AmpsA float64 // running current; 0 means unknown, and unknown is never allowed to start
}

// Status is what one load is doing.
type Status struct {
	On      bool
	Setting int       // index into Load.Settings while On
	Since   time.Time // switched on at
	Until   time.Time // countdown end; zero when open-ended. Passing it means off only for SelfOff loads

	// DeclaredOff says that somebody has unplugged a load that cycles by itself,
	// so that nothing needs to be reserved for it.
	DeclaredOff bool
	// Spoils says that switching it off now would spoil a batch, so that a
	// refusal never names it as a way out.
	Spoils bool
}

// State is the status of every load, aligned with Panel.Loads. It is a value:
// the methods return a new one and leave the old as it was.
type State struct {
	Loads        []Status
	OpenCircuits []bool // tripped breakers, aligned with Panel.Circuits; nil while none is
}

// NewState returns a state with every load off.
func NewState(p *Panel) State {
	return State{Loads: make([]Status, len(p.Loads))}
}

// Switched returns the state with one load set to st at the instant now.
func (s State) Switched(p *Panel, load int, st Status, now time.Time) State {
	loads := make([]Status, len(s.Loads))
	copy(loads, s.Loads)
	loads[load] = st
	s.Loads = loads
	return s
}

// Drawing says whether a load counts its amps at the instant now: it is on and
// has not been confirmed off. Only a load that switches itself off stops
// counting when its time is up.
func (s State) Drawing(p *Panel, load int, now time.Time) bool {
	st := s.Loads[load]
	if !st.On {
		return false
	}
	if p.Loads[load].SelfOff && !st.Until.IsZero() && !now.Before(st.Until) {
		return false
	}
	return true
}

// LoadByName returns the index of the named load.
func (p *Panel) LoadByName(name string) (int, bool) {
	for i := range p.Loads {
		if p.Loads[i].Name == name {
			return i, true
		}
	}
	return 0, false
}

// CircuitByName returns the index of the named circuit.
func (p *Panel) CircuitByName(name string) (int, bool) {
	for i := range p.Circuits {
		if p.Circuits[i].Name == name {
			return i, true
		}
	}
	return 0, false
}

// SettingByName returns the index of a load's named setting. An empty name means
// the first one.
func (l *Load) SettingByName(name string) (int, bool) {
	if name == "" {
		return 0, len(l.Settings) > 0
	}
	for i := range l.Settings {
		if l.Settings[i].Name == name {
			return i, true
		}
	}
	return 0, false
}

// WorstA is the load's running current at its hungriest setting.
func (l *Load) WorstA() float64 {
	worst := 0.0
	for _, s := range l.Settings {
		worst = max(worst, s.AmpsA)
	}
	return worst
}
