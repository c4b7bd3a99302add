// Package line is the wash, spin and dry line as a state machine: commands go
// in, events come out, and the state is what the events made of it.
//
// Decide is pure and returns events or a refusal. Apply is pure and cannot fail.
// The live board, the rehearsal, recovery after a power cut and every report run
// on these two functions. The package does no I/O and has no clock: instants come
// in as values.
package line

import (
	"slices"
	"time"

	"shedbell/line/say"
	"shedbell/power"
	"shedbell/power/enum"
)

// Kind is what is done at a station.
type Kind uint8

// The kinds of station in the order the greens, and after them the trays, meet
// them.
const (
	Cut Kind = iota
	Wash
	Spin
	Dry
	Pack
	Chill
	TrayWash
	Sanitize
	Sow
	kindCount
)

var kindNames = [kindCount]string{"cut", "wash", "spin", "dry", "pack", "chill", "tray-wash", "sanitize", "sow"}

// String is the kind's name as the line file writes it.
func (k Kind) String() string {
	if k < kindCount {
		return kindNames[k]
	}
	return "unknown"
}

// MarshalText is the name by which records keep it.
func (k Kind) MarshalText() ([]byte, error) { return enum.Text(k, kindNames[:]) }

// UnmarshalJSON reads the name, or the number of earlier records.
func (k *Kind) UnmarshalJSON(data []byte) error { return enum.Read(k, data, kindNames[:]) }

// Says is the word for it.
func (k Kind) Says() say.Sentence { return say.New("step." + k.String()) }

// ParseKind is the inverse of Kind.String.
func ParseKind(name string) (Kind, bool) {
	for k, n := range kindNames {
		if n == name {
			return Kind(k), true
		}
	}
	return 0, false
}

// Kinds lists every kind in order.
func Kinds() []Kind {
	out := make([]Kind, kindCount)
	for i := range out {
		out[i] = Kind(i)
	}
	return out
}

// ForGreens says whether batches go through stations of this kind; the others
// are for trays and surfaces.
func (k Kind) ForGreens() bool { return k <= Chill }

// Hands says when a station ties up a person.
type Hands uint8

// When a station ties up hands.
const (
	HandsNone Hands = iota
	HandsStart
	HandsEnd
	HandsBoth
	HandsThroughout
)

var handsNames = []string{"none", "start", "end", "both", "throughout"}

// String is the word the line file uses.
func (h Hands) String() string {
	if int(h) < len(handsNames) {
		return handsNames[h]
	}
	return "unknown"
}

// MarshalText is the name by which records keep it.
func (h Hands) MarshalText() ([]byte, error) { return enum.Text(h, handsNames) }

// UnmarshalJSON reads the name, or the number of earlier records.
func (h *Hands) UnmarshalJSON(data []byte) error { return enum.Read(h, data, handsNames) }

// NoLoad marks a station that needs nothing electrical.
const NoLoad = -1

// Station is a place where one step is done.
type Station struct {
	Name      string
	Kind      Kind
	Slots     int
	SlotTrays int           // most trays one slot holds
	Load      int           // index into the panel's loads, or NoLoad
	Setting   string        // the load's setting; empty: the recipe's fan setting at a dry station, else the first
	Hands     Hands         // when a person is tied up
	HandsTime time.Duration // for how long at each end; not used with HandsThroughout
	PerTray   time.Duration // hand work a tray, where hands are tied up throughout
	ByHandPer time.Duration `json:",omitempty"` // hand work a tray while its machine is out of use; 0: the usual
	Walk      time.Duration // to the next station

	StandIn bool `json:",omitempty"` // people stand in for its machine; see ByHand

	Contact      time.Duration // sanitize: contact time that cannot be cut short
	DrainLoad    int           // wash: load that empties the tub, or NoLoad
	DrainTime    time.Duration // wash: how long a water change takes
	WaterBatches int           // wash: batches that may share a water; 0 for no limit
}

// Site is the line file: the shed, its wiring, its stations and its people.
type Site struct {
	Name     string
	Panel    power.Panel
	Stations []Station
	Crew     []string
	Limits   Limits  `json:",omitzero"`
	Wage     float64 `json:",omitzero"` // money an hour of somebody's work costs; 0: nobody said
}

// StationsOf returns the indexes of the stations of a kind.
func (s *Site) StationsOf(k Kind) []int {
	var out []int
	for i := range s.Stations {
		if s.Stations[i].Kind == k {
			out = append(out, i)
		}
	}
	return out
}

func (s *Site) has(k Kind) bool {
	_, ok := s.first(k)
	return ok
}

// first is the first station of a kind.
func (s *Site) first(k Kind) (int, bool) {
	for i := range s.Stations {
		if s.Stations[i].Kind == k {
			return i, true
		}
	}
	return 0, false
}

// Demand is one line of the day sheet: trays of one crop to cut.
type Demand struct {
	Crop  string
	Trays int
	Due   time.Time // when a customer waits for it; zero when nobody does
}

// SowItem is trays of one crop to sow for the next round.
type SowItem struct {
	Crop  string
	Trays int
}

// Sheet is the day sheet: what is to be done on one processing day.
type Sheet struct {
	Date  string // ISO 8601 calendar date
	Start time.Time
	Crew  []string
	Hours []Hours `json:",omitempty"` // of those of the crew who are not there all day
	Crops []Demand
	Apart [][2]string // crops that must not share a tub's water
	Sow   []SowItem   // empty: what was cut is sown again
}

// KeptApart says whether two crops must not share a tub's water.
func (d *Sheet) KeptApart(a, b string) bool {
	for _, pair := range d.Apart {
		if pair == [2]string{a, b} || pair == [2]string{b, a} {
			return true
		}
	}
	return false
}

// weekday is that of the date; one that cannot be read is a day of its own.
func (d *Sheet) weekday() time.Weekday {
	date, err := time.Parse(time.DateOnly, d.Date)
	if err != nil {
		return -1
	}
	return date.Weekday()
}

// with is the sheet with more trays of a crop.
func (d Sheet) with(crop string, trays int) Sheet {
	d.Crops = slices.Clone(d.Crops)
	for i := range d.Crops {
		if d.Crops[i].Crop == crop {
			d.Crops[i].Trays += trays
			return d
		}
	}
	d.Crops = append(d.Crops, Demand{Crop: crop, Trays: trays})
	return d
}

// Trays is the number of trays to cut.
func (d *Sheet) Trays() int {
	n := 0
	for _, c := range d.Crops {
		n += c.Trays
	}
	return n
}

// SowList is what is to be sown, by default what was cut.
func (d *Sheet) SowList() []SowItem {
	if len(d.Sow) > 0 {
		return d.Sow
	}
	var out []SowItem
	at := map[string]int{}
	for _, c := range d.Crops {
		if i, ok := at[c.Crop]; ok {
			out[i].Trays += c.Trays
			continue
		}
		at[c.Crop] = len(out)
		out = append(out, SowItem{Crop: c.Crop, Trays: c.Trays})
	}
	return out
}
