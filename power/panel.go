// Package power answers one question: may this load be switched on now?
//
// It is plain arithmetic over what hangs on which breaker. It does no I/O and
// has no clock; instants come in as values. Currents are in amperes, voltages in
// volts. It advises a person and is no protective device: local code and a
// licensed electrician decide.
//
// Panel is the wiring, State what is on and how warm the breakers are. Judge weighs
// a start against every rule (rules.go) on each breaker pole that its current flows
// through: the circuit's, and one or both legs of its feeder. A refusal carries its
// reasons and ways out: the smallest set of loads to switch off (switchoff.go) and
// the earliest instant at which it fits by itself (earliest.go).
//
// Careful by intention: a self-cycling load counts at its worst even while it is
// off, and may start in the worst second; a breaker heats like the quickest and
// cools like the slowest that its standard allows; a machine whose time is up
// counts until somebody confirms that it is off.
package power

import (
	"time"

	"shedbell/power/breaker"
	"shedbell/power/enum"
)

// Supply is the kind of supply that a panel hangs on.
type Supply uint8

// Supplies. SupplyUnstated is taken from the volts and the legs in use.
const (
	SupplyUnstated Supply = iota
	Single120             // two wires, 120 V
	Split240              // three wires, 120 V from each leg to neutral and 240 V between them
	Single230             // two wires, 230 V
)

var supplyNames = []string{"unstated", "120 V", "120/240 V", "230 V"}

// MarshalText is the name by which records keep it.
func (s Supply) MarshalText() ([]byte, error) { return enum.Text(s, supplyNames) }

// UnmarshalJSON reads the name, or the number of earlier records.
func (s *Supply) UnmarshalJSON(data []byte) error { return enum.Read(s, data, supplyNames) }

// Standard is what a breaker is built after; it decides its curve.
type Standard = breaker.Standard

// Breaker standards; see package breaker.
const (
	UL489 = breaker.UL489
	IECB  = breaker.IECB
	IECC  = breaker.IECC
	IECD  = breaker.IECD
)

// Panel is the fixed wiring: feeders, circuits and the loads on them. Loads and
// circuits are referred to by their index in these slices everywhere else.
type Panel struct {
	VoltageV float64 // nominal voltage of the supply, leg to neutral
	Feeders  []Feeder
	Circuits []Circuit
	Loads    []Load

	Supply     Supply
	AmbientC   float64 // air around the breakers, degrees C; 0 when nobody measured it
	DeratePerK float64 // share of the rating lost per kelvin above the breaker's reference; 0 takes DefaultDeratePerK
}

// Feeder is a breaker that several circuits hang on, with its own rating per leg.
type Feeder struct {
	Name    string
	RatingA float64
	Breaker Standard
	Maker   []breaker.Point `json:",omitempty"` // the earliest times on its maker's curve
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

var legNames = []string{"none", "a", "b", "both"}

// MarshalText is the name by which records keep it.
func (l Leg) MarshalText() ([]byte, error) { return enum.Text(l, legNames) }

// UnmarshalJSON reads the name, or the number of earlier records.
func (l *Leg) UnmarshalJSON(data []byte) error { return enum.Read(l, data, legNames) }

// Circuit is one breaker and what it protects.
type Circuit struct {
	Name    string
	RatingA float64
	Feeder  string // name of the feeder it hangs on, or empty
	Leg     Leg

	Breaker     Standard
	Maker       []breaker.Point `json:",omitempty"` // the earliest times on its maker's curve
	Rated100    bool            // marked for 100 percent continuous load
	EffectiveA  float64         // lower rating learned from trips, in amperes; 0 when none
	ReceptacleA float64         // rating of its receptacles; 0 when nobody looked
	GFCI        bool            // protected by a ground-fault circuit interrupter

	Wire        Cord   `json:",omitzero"`  // its wire up to the outlets
	NeutralWith string `json:",omitempty"` // name of the circuit that it shares its neutral with
	GroundFault string `json:",omitempty"` // name of the ground-fault device that protects it with others
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

	Continuous bool // on for three hours or more whenever it is on
	HardWired  bool // fastened in place, so without a plug that could be moved
	Wet        bool // stands where water is
	Light      bool `json:",omitempty"` // a luminaire
	Cord       Cord
}

// Cord is the flexible cord between a load and its receptacle, or the wire of a circuit.
type Cord struct {
	AWG     int // wire size; 0 when nobody looked
	LengthM float64
	MM2     float64 `json:",omitzero"`  // or its cross-section in square millimetres
	Method  string  `json:",omitempty"` // of a fixed wire: how it is laid, after IEC 60364-5-52
}

// Setting is one way a load can run.
type Setting struct {
	Name  string
	AmpsA float64 // running current; 0 means unknown, and unknown is never allowed to start
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
