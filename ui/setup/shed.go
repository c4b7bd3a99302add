// Package setup builds a line file from answers that a grower can give: what is
// written on the panel, on a machine's plate, on an outlet. The interlock judges
// the answers as they come. An existing file is changed value by value, so that
// its comments stay; nothing is written before the end, and the file that was
// there is kept.
package setup

import (
	"slices"

	"shedbell/line/files"
)

// shed is the line file as the questions change it. A key that no question is
// about keeps its value.
type shed struct {
	files.LineFile           // but for its loads
	machines       []machine // the loads

	from   *origin          // nil: a new one
	places map[string][]int // by kind, where each table stood in the file before; one that is new has none
}

// machine is a load with its settings in the order of the file.
type machine struct {
	files.LoadEntry // but for its settings
	settings        []setting
}

type setting struct {
	name string
	amps float64
}

// Kinds of tables in a line file.
const (
	kindFeeder  = "feeder"
	kindCircuit = "circuit"
	kindMachine = "load"
	kindStation = "station"
)

var kinds = []string{kindFeeder, kindCircuit, kindMachine, kindStation}

// fresh is a shed before the first answer.
func fresh() *shed {
	return &shed{LineFile: files.LineFile{Supply: "120", Voltage: 120}, places: map[string][]int{}}
}

// clone is a copy that shares nothing with the shed.
func (s *shed) clone() *shed {
	c := *s
	c.Crew = slices.Clone(s.Crew)
	c.Feeders = slices.Clone(s.Feeders)
	c.Circuits = slices.Clone(s.Circuits)
	c.machines = slices.Clone(s.machines)
	for i := range c.machines {
		c.machines[i].settings = slices.Clone(c.machines[i].settings)
	}
	c.Stations = slices.Clone(s.Stations)
	c.places = map[string][]int{}
	for kind, list := range s.places {
		c.places[kind] = slices.Clone(list)
	}
	return &c
}

// place is where a table stood in the file before; -1: it is new.
func (s *shed) place(kind string, i int) int {
	if list := s.places[kind]; i < len(list) {
		return list[i]
	}
	return -1
}

// takeAway drops a table. What hangs on it is left as it was.
func (s *shed) takeAway(kind string, i int) {
	switch kind {
	case kindFeeder:
		s.Feeders = slices.Delete(s.Feeders, i, i+1)
	case kindCircuit:
		s.Circuits = slices.Delete(s.Circuits, i, i+1)
	case kindMachine:
		s.machines = slices.Delete(s.machines, i, i+1)
	case kindStation:
		s.Stations = slices.Delete(s.Stations, i, i+1)
	}
	if list := s.places[kind]; i < len(list) {
		s.places[kind] = slices.Delete(list, i, i+1)
	}
}

// namesOf lists the names of one kind of table.
func (s *shed) namesOf(kind string) []string {
	switch kind {
	case kindFeeder:
		return names(s.Feeders, func(f *files.FeederEntry) string { return f.Name })
	case kindCircuit:
		return names(s.Circuits, func(c *files.CircuitEntry) string { return c.Name })
	case kindMachine:
		return names(s.machines, func(m *machine) string { return m.Name })
	}
	return names(s.Stations, func(st *files.StationEntry) string { return st.Name })
}

func names[T any](list []T, name func(*T) string) []string {
	out := make([]string, len(list))
	for i := range list {
		out[i] = name(&list[i])
	}
	return out
}

// without is the list but for one place.
func without(list []string, i int) []string {
	return slices.DeleteFunc(slices.Clone(list), func(s string) bool { return i < len(list) && s == list[i] })
}

// renameFeeder keeps the circuits on their feeder.
func (s *shed) renameFeeder(i int, to string) {
	from := s.Feeders[i].Name
	s.Feeders[i].Name = to
	for k := range s.Circuits {
		if from != "" && s.Circuits[k].Feeder == from {
			s.Circuits[k].Feeder = to
		}
	}
}

// renameCircuit keeps the machines on their circuit.
func (s *shed) renameCircuit(i int, to string) {
	from := s.Circuits[i].Name
	s.Circuits[i].Name = to
	for k := range s.machines {
		if from != "" && s.machines[k].Circuit == from {
			s.machines[k].Circuit = to
		}
	}
}

// renameMachine keeps the stations at their machines; an empty name takes the
// machine away from them.
func (s *shed) renameMachine(i int, to string) {
	from := s.machines[i].Name
	s.machines[i].Name = to
	for k := range s.Stations {
		st := &s.Stations[k]
		if from != "" && st.Load == from {
			st.Load = to
		}
		if from != "" && st.DrainLoad == from {
			st.DrainLoad = to
		}
		if st.Load == "" {
			st.Setting = ""
		}
	}
}
