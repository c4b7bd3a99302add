// Package meter makes what meters say into facts for the line: a payload into a value,
// values into on and off, and those into the commands that a person would enter.
//
// It is pure: payloads and instants come in as values. The program switches nothing and
// sends nothing to a meter. No reading can make the interlock allow what people's word
// would refuse, but two successive live ones that say off (see Watch).
package meter

import (
	"bytes"
	"encoding/json"
	"io"
	"strconv"
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// Kind is what a meter is on.
type Kind string

// What a meter can be on, as the line file writes it.
const (
	Load    Kind = "load"
	Circuit Kind = "circuit"
	Room    Kind = "room"
	Fridge  Kind = "fridge"
	Balance Kind = "balance"
)

// Kinds lists them in the order of the line file.
func Kinds() []Kind { return []Kind{Load, Circuit, Room, Fridge, Balance} }

// Meter is one [[meter]] of the line file.
type Meter struct {
	Kind    Kind
	Of      string // name of the load, the circuit, the room or the station
	Topic   string
	Pointer Pointer
	Unit    string
	Factor  float64       // what a value is multiplied with to be in Unit
	Fresh   time.Duration // how long a value holds
	Every   time.Duration // room, fridge: how often one is entered in the records
}

// Config is what the line file says about meters.
type Config struct {
	Address   string            // where the broker listens
	Users     map[string]string // names with the bcrypt hashes of their passwords
	Anonymous bool              // this machine only: without a name
	Cert, Key string            // files of the TLS certificate; empty: no TLS
	Meters    []Meter
}

// unit is what values in it can be, and what a current of that unit is in amperes; 0:
// it is no current. Watts are divided by the circuit's volts.
type unit struct {
	low, high float64
	amps      float64
	watts     bool
}

// No shed has more than these; a value beyond is of another unit (common practice, no
// source).
var units = map[string]unit{
	"A": {0, 400, 1, false}, "mA": {0, 400e3, 1e-3, false},
	"W": {0, 100e3, 1, true}, "kW": {0, 100, 1e3, true},
	"C": bounds(line.UnitC), "F": bounds(line.UnitF), "%": bounds(line.UnitPercent),
	"g": {0, 1e6, 0, false}, "kg": {0, 1e3, 0, false},
}

func bounds(u line.Unit) unit {
	low, high := u.Bounds()
	return unit{low: low, high: high}
}

// Units lists the units that a meter of a kind may have.
func (k Kind) Units() []string {
	switch k {
	case Load:
		return []string{"A", "mA", "W", "kW"}
	case Circuit:
		return []string{"A", "mA"}
	case Room:
		return []string{"C", "F", "%"}
	case Fridge:
		return []string{"C", "F"}
	}
	return []string{"g", "kg"}
}

// MaxPayload is the longest payload that is read; anything more is no reading.
const MaxPayload = 64 << 10

// Why a payload is no reading.
var (
	ErrTooLong   = say.Error("meter.too-long")
	ErrNotJSON   = say.Error("meter.not-json")
	ErrNotThere  = say.Error("meter.not-there")
	ErrNoNumber  = say.Error("meter.no-number")
	ErrNegative  = say.Error("meter.negative")
	ErrOutOfUnit = say.Error("meter.out-of-unit")
)

// decode reads a payload, its numbers as they are written.
func decode(payload []byte) (doc any, err error) {
	if len(payload) > MaxPayload {
		return nil, ErrTooLong
	}
	d := json.NewDecoder(bytes.NewReader(payload))
	d.UseNumber()
	if err := d.Decode(&doc); err != nil {
		return nil, ErrNotJSON
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, ErrNotJSON
	}
	return doc, nil
}

// Read takes the value out of a payload, in the meter's unit. What JSON does not call a
// number is none: neither NaN nor "7.0" in quotes.
func (m *Meter) Read(payload []byte) (float64, error) {
	doc, err := decode(payload)
	if err != nil {
		return 0, err
	}
	found, ok := m.Pointer.find(doc)
	if !ok {
		return 0, ErrNotThere
	}
	number, ok := found.(json.Number)
	if !ok {
		return 0, ErrNoNumber
	}
	v, err := strconv.ParseFloat(string(number), 64)
	if err != nil {
		return 0, ErrOutOfUnit // beyond every float
	}
	v *= m.Factor
	switch u := units[m.Unit]; {
	case v < 0 && u.low == 0:
		return 0, ErrNegative
	case !(v >= u.low && v <= u.high):
		return 0, ErrOutOfUnit
	}
	return v, nil
}

// amps is a value of a load's meter in amperes. Of watts it is what a load without
// reactive current would draw, and so the least.
func (m *Meter) amps(v, volts float64) float64 {
	u := units[m.Unit]
	if u.watts {
		return v * u.amps / volts
	}
	return v * u.amps
}
