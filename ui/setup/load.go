package setup

import (
	"slices"
	"time"

	"github.com/pelletier/go-toml/v2"

	"shedbell/line"
	"shedbell/recipes/strictfile"
)

// written are the keys of a line file that questions are about. The strict reader
// has passed the file before, so nothing is checked here.
type written struct {
	Name     string   `toml:"name"`
	Voltage  float64  `toml:"voltage"`
	Supply   string   `toml:"supply"`
	Crew     []string `toml:"crew"`
	Circuits []struct {
		Name        string  `toml:"name"`
		BreakerA    float64 `toml:"breaker_a"`
		Breaker     string  `toml:"breaker"`
		Feeder      string  `toml:"feeder"`
		Leg         string  `toml:"leg"`
		ReceptacleA float64 `toml:"receptacle_a"`
		GFCI        bool    `toml:"gfci"`
	} `toml:"circuit"`
	Loads    []writtenLoad    `toml:"load"`
	Stations []writtenStation `toml:"station"`
}

type writtenLoad struct {
	Name        string             `toml:"name"`
	Circuit     string             `toml:"circuit"`
	Amps        float64            `toml:"amps"`
	Settings    map[string]float64 `toml:"settings"`
	Watts       float64            `toml:"watts"`
	PowerFactor float64            `toml:"power_factor"`
	HP          float64            `toml:"hp"`
	Volts       float64            `toml:"volts"`
	CodeLetter  string             `toml:"code_letter"`
	StartingA   float64            `toml:"starting_a"`
	Starting    string             `toml:"starting"`
	SelfOff     bool               `toml:"switches_itself_off"`
	Alone       bool               `toml:"runs_alone"`
	Cycles      bool               `toml:"cycles_by_itself"`
	StaysOn     bool               `toml:"stays_on"`
	Continuous  bool               `toml:"continuous"`
	HardWired   bool               `toml:"hard_wired"`
	Wet         bool               `toml:"wet"`
}

type writtenStation struct {
	Name         string              `toml:"name"`
	Kind         string              `toml:"kind"`
	Slots        int                 `toml:"slots"`
	Trays        int                 `toml:"trays"`
	Load         string              `toml:"load"`
	Setting      string              `toml:"setting"`
	Hands        string              `toml:"hands"`
	HandsTime    strictfile.Duration `toml:"hands_time"`
	PerTray      strictfile.Duration `toml:"per_tray"`
	Walk         strictfile.Duration `toml:"walk"`
	Contact      strictfile.Duration `toml:"contact"`
	DrainLoad    string              `toml:"drain_load"`
	DrainTime    strictfile.Duration `toml:"drain_time"`
	WaterBatches int                 `toml:"water_batches"`
}

// load takes over a line file that the strict reader has made a site of; the site
// gives the order of a machine's settings.
func load(data []byte, site *line.Site) (*shed, error) {
	var w written
	if err := toml.Unmarshal(data, &w); err != nil {
		return nil, err
	}
	s := &shed{name: w.Name, crew: w.Crew, supply: w.Supply, voltage: w.Voltage}
	for _, c := range w.Circuits {
		s.circuits = append(s.circuits, circuit{name: c.Name, breakerA: c.BreakerA, breaker: c.Breaker, feeder: c.Feeder,
			leg: c.Leg, receptacleA: c.ReceptacleA, gfci: c.GFCI})
	}
	for i := range w.Loads {
		s.machines = append(s.machines, w.Loads[i].machine(site, i))
	}
	for _, t := range w.Stations {
		s.stations = append(s.stations, station{name: t.Name, kind: t.Kind, slots: max(1, t.Slots), trays: t.Trays, load: t.Load,
			setting: t.Setting, hands: t.Hands, handsTime: time.Duration(t.HandsTime), perTray: time.Duration(t.PerTray),
			walk: time.Duration(t.Walk), contact: time.Duration(t.Contact), drain: t.DrainLoad,
			drainTime: time.Duration(t.DrainTime), waterBatches: t.WaterBatches})
	}
	s.from = &origin{doc: parse(string(data)), before: s.clone()}
	return s, nil
}

func (l *writtenLoad) machine(site *line.Site, i int) machine {
	m := machine{name: l.Name, circuit: l.Circuit, amps: l.Amps, watts: l.Watts, factor: l.PowerFactor, hp: l.HP, volts: l.Volts,
		letter: l.CodeLetter, startingA: l.StartingA, starting: l.Starting, selfOff: l.SelfOff, alone: l.Alone, cycles: l.Cycles,
		staysOn: l.StaysOn, continuous: l.Continuous, hardWired: l.HardWired, wet: l.Wet}
	if len(l.Settings) > 0 {
		for _, st := range site.Panel.Loads[i].Settings {
			m.settings = append(m.settings, setting{st.Name, st.AmpsA})
		}
	}
	return m
}

// same says whether two tables have equal values.
func same(a, b []table) bool {
	return slices.EqualFunc(a, b, func(x, y table) bool { return x.kind == y.kind && slices.Equal(x.fields, y.fields) })
}
