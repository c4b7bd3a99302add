// Package setup builds a line file from answers that a grower can give: what is
// written on the panel, on a machine's plate, on an outlet. The interlock judges
// the answers as they come. An existing file is changed value by value, so that
// its comments stay; nothing is written before the end, and the file that was
// there is kept.
package setup

import (
	"strconv"
	"strings"
	"time"

	"shedbell/recipes/strictfile"
)

// shed is the line file as the questions change it. A key that no question is
// about is not in here, and stays in the file as it is.
type shed struct {
	name     string
	crew     []string
	supply   string // "120", "120/240" or "230"; empty: the file does not say
	voltage  float64
	circuits []circuit
	machines []machine
	stations []station

	from *origin // nil: a new one
}

type circuit struct {
	name        string
	breakerA    float64
	breaker     string // what it is built after; empty: UL 489
	leg         string
	receptacleA float64
	gfci        bool
	feeder      string
}

// machine has its current in one of four ways: amps, settings, watts or hp.
type machine struct {
	name, circuit   string
	amps            float64
	settings        []setting
	watts, factor   float64
	hp, volts       float64
	letter          string // NEC code letter
	startingA       float64
	starting        string // a time such as 0.6s
	selfOff, alone  bool
	cycles, staysOn bool
	continuous      bool
	hardWired, wet  bool
}

type setting struct {
	name string
	amps float64
}

type station struct {
	name, kind    string
	slots, trays  int
	load, setting string
	hands         string
	handsTime     time.Duration
	perTray, walk time.Duration
	contact       time.Duration
	drain         string
	drainTime     time.Duration
	waterBatches  int
}

// field is one key of a table with its value as TOML; an empty value means that
// the key is not there.
type field struct{ key, value string }

// table is one table of the file: its kind (empty for the top) and its fields in
// the order in which they are written.
type table struct {
	kind   string
	fields []field
}

func (s *shed) top() table {
	return table{"", []field{{"name", text(s.name)}, {"voltage", number(s.voltage)}, {"supply", text(s.supply)}, {"crew", texts(s.crew)}}}
}

// tables are all tables with an index in their kind, in the order of the file.
func (s *shed) tables() []table {
	out := []table{s.top()}
	for i := range s.circuits {
		out = append(out, s.circuits[i].table())
	}
	for i := range s.machines {
		out = append(out, s.machines[i].table())
	}
	for i := range s.stations {
		out = append(out, s.stations[i].table())
	}
	return out
}

func (c *circuit) table() table {
	return table{"circuit", []field{{"name", text(c.name)}, {"breaker_a", number(c.breakerA)}, {"breaker", text(c.breaker)},
		{"feeder", text(c.feeder)}, {"leg", text(c.leg)}, {"receptacle_a", number(c.receptacleA)}, {"gfci", yes(c.gfci)}}}
}

func (m *machine) table() table {
	settings := ""
	if len(m.settings) > 0 {
		var parts []string
		for _, s := range m.settings {
			parts = append(parts, tomlKey(s.name)+" = "+number(s.amps))
		}
		settings = "{ " + strings.Join(parts, ", ") + " }"
	}
	return table{"load", []field{{"name", text(m.name)}, {"circuit", text(m.circuit)}, {"amps", number(m.amps)}, {"settings", settings},
		{"watts", number(m.watts)}, {"power_factor", number(m.factor)}, {"hp", number(m.hp)}, {"volts", number(m.volts)},
		{"code_letter", text(m.letter)}, {"starting_a", number(m.startingA)}, {"starting", text(m.starting)},
		{"switches_itself_off", yes(m.selfOff)}, {"runs_alone", yes(m.alone)}, {"cycles_by_itself", yes(m.cycles)},
		{"stays_on", yes(m.staysOn)}, {"continuous", yes(m.continuous)}, {"hard_wired", yes(m.hardWired)}, {"wet", yes(m.wet)}}}
}

func (s *station) table() table {
	slots := ""
	if s.slots > 1 {
		slots = strconv.Itoa(s.slots)
	}
	return table{"station", []field{{"name", text(s.name)}, {"kind", text(s.kind)}, {"slots", slots}, {"trays", number(float64(s.trays))},
		{"load", text(s.load)}, {"setting", text(s.setting)}, {"hands", text(s.hands)}, {"hands_time", span(s.handsTime)},
		{"per_tray", span(s.perTray)}, {"walk", span(s.walk)}, {"contact", span(s.contact)}, {"drain_load", text(s.drain)},
		{"drain_time", span(s.drainTime)}, {"water_batches", number(float64(s.waterBatches))}}}
}

func text(s string) string {
	if s == "" {
		return ""
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(strictfile.Printable(s)) + `"`
}

func texts(list []string) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = text(s)
	}
	return "[" + strings.Join(out, ", ") + "]"
}

func number(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func span(d time.Duration) string {
	if d == 0 {
		return ""
	}
	return text(strictfile.Duration(d).String())
}

func yes(v bool) string {
	if v {
		return "true"
	}
	return ""
}

// tomlKey quotes a key that is not a bare one.
func tomlKey(s string) string {
	for _, r := range s {
		if r != '_' && r != '-' && (r < '0' || r > '9') && (r < 'A' || r > 'Z') && (r < 'a' || r > 'z') {
			return text(s)
		}
	}
	return s
}

// fresh is a shed before the first answer.
func fresh() *shed { return &shed{supply: "120", voltage: 120} }

// clone is a copy that shares nothing with the shed.
func (s *shed) clone() *shed {
	c := *s
	c.crew = append([]string(nil), s.crew...)
	c.circuits = append([]circuit(nil), s.circuits...)
	c.machines = append([]machine(nil), s.machines...)
	for i := range c.machines {
		c.machines[i].settings = append([]setting(nil), c.machines[i].settings...)
	}
	c.stations = append([]station(nil), s.stations...)
	return &c
}
