// Package files reads the two files that a grower writes by hand: the line file
// (the shed, its wiring, its stations and its people) and the day sheet (what is
// to be done on one processing day).
//
// Both are read strictly. Either a file is good and its value is returned, or
// every fault is listed at once with file, line, column, value and what would be
// right, and nothing is returned. The package does no I/O and has no clock:
// bytes come in as values, and the file name is only used in the faults.
package files

import (
	"fmt"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/power"
	"shedbell/recipes/strictfile"
)

// A line file with more than this is a slip, and is not checked any further.
const (
	mostCircuits = 100
	mostLoads    = 200
	mostStations = 100
	mostCrew     = 50
	mostWage     = 10000 // in whatever money
)

// LineFile is the line file as it is written: each field is a key, in the order in
// which a new file has them. ReadLine makes a site of one, set-up changes one.
type LineFile struct {
	Name       string           `toml:"name" need:"name = \"Alder shed\""`
	Voltage    float64          `toml:"voltage" need:"voltage = 120"`
	Supply     string           `toml:"supply"`
	AmbientC   float64          `toml:"ambient_c"`
	DeratePerC float64          `toml:"derate_per_c"`
	Crew       []string         `toml:"crew" need:"crew = [\"Ash\"]"`
	Location   string           `toml:"location"`
	KeepYears  float64          `toml:"keep_records_years"`
	Wage       float64          `toml:"wage_an_hour"`
	Feeders    []FeederEntry    `toml:"feeder"`
	Circuits   []CircuitEntry   `toml:"circuit" need:"fault.start-each-circuit"`
	Loads      []LoadEntry      `toml:"load" need:"fault.start-each-machine"`
	Stations   []StationEntry   `toml:"station" need:"fault.start-each-station"`
	Limits     []LimitEntry     `toml:"limit"`
	Sanitizers []SanitizerEntry `toml:"sanitizer"`
	Broker     BrokerEntry      `toml:"meters"`
	Meters     []MeterEntry     `toml:"meter"`
}

// FeederEntry is one [[feeder]] of a line file; amperes.
type FeederEntry struct {
	Name      string      `toml:"name" need:"name = \"shed feeder\""`
	BreakerA  float64     `toml:"breaker_a" need:"fault.add-breaker-60"`
	Breaker   string      `toml:"breaker"`
	NotBefore [][]float64 `toml:"trips_not_before"`
}

// CircuitEntry is one [[circuit]] of a line file; amperes.
type CircuitEntry struct {
	Name        string      `toml:"name" need:"name = \"wet wall\""`
	BreakerA    float64     `toml:"breaker_a" need:"fault.add-breaker-20"`
	Breaker     string      `toml:"breaker"`
	NotBefore   [][]float64 `toml:"trips_not_before"`
	Feeder      string      `toml:"feeder"`
	Leg         string      `toml:"leg"`
	Rated100    bool        `toml:"rated_100_percent"`
	EffectiveA  float64     `toml:"effective_a"`
	ReceptacleA float64     `toml:"receptacle_a"`
	GFCI        bool        `toml:"gfci"`
	GroundFault string      `toml:"ground_fault"`
	NeutralWith string      `toml:"neutral_with"`
	WireAWG     int         `toml:"wire_awg"`
	WireMM2     float64     `toml:"wire_mm2"`
	WireM       float64     `toml:"wire_m"`
	WireMethod  string      `toml:"wire_method"`
}

// LoadEntry is one [[load]] of a line file: a machine as its nameplate has it. Its current is
// given in one of four ways: Amps, Settings, Watts or HP.
type LoadEntry struct {
	Name        string             `toml:"name" need:"name = \"spinner\""`
	Circuit     string             `toml:"circuit" need:"circuit = \"wet wall\""`
	Amps        float64            `toml:"amps"`
	Settings    map[string]float64 `toml:"settings"`
	Watts       float64            `toml:"watts"`
	PowerFactor float64            `toml:"power_factor"`
	HP          float64            `toml:"hp"`
	Volts       float64            `toml:"volts"`
	CodeLetter  string             `toml:"code_letter"`
	StartingA   float64            `toml:"starting_a"`
	Starting    StartTime          `toml:"starting"`
	SelfOff     bool               `toml:"switches_itself_off"`
	Alone       bool               `toml:"runs_alone"`
	Cycles      bool               `toml:"cycles_by_itself"`
	StaysOn     bool               `toml:"stays_on"`
	Continuous  bool               `toml:"continuous"`
	HardWired   bool               `toml:"hard_wired"`
	Wet         bool               `toml:"wet"`
	Light       bool               `toml:"light"`
	CordAWG     int                `toml:"cord_awg"`
	CordMM2     float64            `toml:"cord_mm2"`
	CordM       float64            `toml:"cord_m"`
}

// StationEntry is one [[station]] of a line file.
type StationEntry struct {
	Name         string              `toml:"name" need:"name = \"cutting table\""`
	Kind         string              `toml:"kind" need:"kind = \"cut\""`
	Slots        int                 `toml:"slots"`
	Trays        int                 `toml:"trays" need:"fault.add-trays-4"`
	Load         string              `toml:"load"`
	Setting      string              `toml:"setting"`
	Hands        string              `toml:"hands"`
	HandsTime    strictfile.Duration `toml:"hands_time"`
	PerTray      strictfile.Duration `toml:"per_tray"`
	ByHand       strictfile.Duration `toml:"by_hand,omitempty"`
	Walk         strictfile.Duration `toml:"walk"`
	Contact      strictfile.Duration `toml:"contact"`
	DrainLoad    string              `toml:"drain_load"`
	DrainTime    strictfile.Duration `toml:"drain_time"`
	WaterBatches int                 `toml:"water_batches"`
}

// ReadLine reads a line file. Either there are no faults and the site is good, or
// every fault is listed and no site is returned.
func ReadLine(name string, data []byte) (*line.Site, []strictfile.Fault) {
	var file LineFile
	where, faults := strictfile.Decode(name, data, &file)
	if hopeless(faults) {
		return nil, faults
	}
	c := newChecker(where, faults)
	site := &line.Site{Name: file.Name, Crew: file.Crew, Wage: file.Wage}
	c.number("wage_an_hour", file.Wage, 0, mostWage, "")
	c.text("name", file.Name)
	c.crew(file.Crew)
	site.Limits = c.limits(&file)
	if c.fewEnough("circuit", len(file.Circuits), mostCircuits) && c.fewEnough("feeder", len(file.Feeders), mostCircuits) &&
		c.fewEnough("load", len(file.Loads), mostLoads) && c.fewEnough("station", len(file.Stations), mostStations) {
		site.Panel = c.panel(&file)
		site.Stations = c.stations(&file, &site.Panel)
		c.meters(&file)
		c.validate(&site.Panel)
	}
	if len(c.faults) > 0 {
		return nil, strictfile.Tidy(strictfile.Printable(name), c.faults)
	}
	return site, nil
}

func (c *checker) fewEnough(path string, n, most int) bool {
	if n > most {
		c.fault(path, say.New("fault.are-too", n), say.New("fault.give-most", most))
	}
	return n <= most
}

// crew checks a list of people that is there: nobody to work is a slip.
func (c *checker) crew(crew []string) {
	if !c.fewEnough("crew", len(crew), mostCrew) || !c.given("crew") {
		return
	}
	if len(crew) == 0 {
		c.fault("crew", say.New("fault.nobody"), say.New("fault.name-who"))
	}
	c.names(crew, func(i int) string { return fmt.Sprintf("crew[%d]", i) })
}

// fieldKeys are the keys of the line file that power's own names stand for.
var fieldKeys = map[string]string{
	"VoltageV": "voltage", "RatingA": "breaker_a", "Maker": "trips_not_before", "Wire": "wire_awg", "NeutralWith": "neutral_with", "StartingA": "starting_a", "StartingTime": "starting", "Settings": "amps",
}

// validate lets the panel's own rules have the last word, so that no file brings
// in what the interlock could not work with.
func (c *checker) validate(p *power.Panel) {
	if len(c.faults) > 0 {
		return
	}
	for _, f := range p.Validate() {
		key := fieldKeys[f.Field]
		path := fmt.Sprintf("%s[%d].%s", f.Kind, f.Index, key)
		switch f.Kind {
		case "panel":
			path = key
		case "setting":
			load := fmt.Sprintf("load[%d]", f.Index)
			if path = keyPath(load+".settings", p.Loads[f.Index].Settings[f.Sub].Name); !c.where.Has(path) {
				path = load + ".amps"
			}
		}
		c.fault(path, say.New("fault.cannot-be-right", f.Value), f.Mend)
	}
}
