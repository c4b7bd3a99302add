package files

import (
	"fmt"
	"time"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/power"
)

const (
	mostSlots    = 200
	mostTrays    = 200
	mostBatches  = 200
	longestWalk  = 30 * time.Minute
	longestHands = time.Hour
)

var kindWords, handsWords = words(line.Kinds()), words([]line.Hands{
	line.HandsNone, line.HandsStart, line.HandsEnd, line.HandsBoth, line.HandsThroughout,
})

func words[T fmt.Stringer](list []T) []string {
	out := make([]string, len(list))
	for i, v := range list {
		out[i] = v.String()
	}
	return out
}

func (c *checker) stations(file *LineFile, p *power.Panel) []line.Station {
	c.names(namesOf(file.Stations, func(f *StationEntry) string { return f.Name }),
		func(i int) string { return fmt.Sprintf("station[%d].name", i) })
	loads := namesOf(file.Loads, func(f *LoadEntry) string { return f.Name })
	meant := map[string]bool{}
	var out []line.Station
	for i := range file.Stations {
		f := &file.Stations[i]
		s := c.station(fmt.Sprintf("station[%d].", i), f, loads, p)
		out = append(out, s)
		meant[f.Kind], meant[nearest(f.Kind, kindWords)] = true, true
	}
	for _, k := range kindWords {
		if len(out) > 0 && !meant[k] {
			c.faults = append(c.faults, c.where.Fault("station",
				say.New("fault.no-station", k), say.New("fault.add-station", k)))
		}
	}
	if len(c.faults) == 0 {
		c.batchFits(out)
	}
	return out
}

func (c *checker) station(path string, f *StationEntry, loads []string, p *power.Panel) line.Station {
	s := line.Station{
		Name: f.Name, Slots: 1, SlotTrays: f.Trays, Load: line.NoLoad, Setting: f.Setting,
		HandsTime: time.Duration(f.HandsTime), PerTray: time.Duration(f.PerTray), Walk: time.Duration(f.Walk),
		ByHandPer: time.Duration(f.ByHand),
		Contact:   time.Duration(f.Contact), DrainLoad: line.NoLoad, DrainTime: time.Duration(f.DrainTime),
		WaterBatches: f.WaterBatches,
	}
	if c.where.Has(path + "slots") {
		s.Slots = f.Slots
	}
	c.number(path+"slots", float64(f.Slots), 1, mostSlots, "fault.unit-slots")
	c.number(path+"trays", float64(f.Trays), 1, mostTrays, "fault.unit-trays-a-slot")
	c.span(path+"walk", f.Walk, 0, longestWalk)
	if c.given(path + "load") {
		s.Load = c.index(path+"load", f.Load, say.New("fault.unknown-load"), loads)
	}
	if c.given(path + "hands") {
		s.Hands = line.Hands(max(0, c.index(path+"hands", f.Hands, say.New("fault.unknown-hands"), handsWords)))
	}
	kind := c.index(path+"kind", f.Kind, say.New("fault.unknown-station-kind"), kindWords)
	if kind >= 0 {
		s.Kind = line.Kind(kind)
	}
	c.setting(path, &s, p)
	if kind < 0 {
		return s
	}
	c.handWork(path, f, &s)
	c.sanitize(path, f, &s)
	c.water(path, f, &s, loads)
	return s
}

// setting checks what a station's load is set to. At a drying rack with nothing
// written the recipe chooses, unless the load only runs one way.
func (c *checker) setting(path string, s *line.Station, p *power.Panel) {
	at := path + "setting"
	if s.Load < 0 {
		if c.missing(path + "load") {
			c.notHere(at, say.New("fault.there-no"), say.New("fault.add-load"))
		}
		return
	}
	settings := p.Loads[s.Load].Settings
	if c.given(at) {
		names := namesOf(settings, func(k *power.Setting) string { return k.Name })
		c.index(at, s.Setting, say.New("fault.unknown-setting", p.Loads[s.Load].Name), names)
	} else if s.Kind == line.Dry && len(settings) == 1 {
		s.Setting = settings[0].Name
	}
}

// notHere faults a key that means nothing at this station.
func (c *checker) notHere(path string, problem, mend say.Sentence) {
	if c.given(path) {
		c.fault(path, problem, mend)
	}
}

// handWork checks the times that people spend at the station.
func (c *checker) handWork(path string, f *StationEntry, s *line.Station) {
	c.span(path+"hands_time", f.HandsTime, time.Second, longestHands)
	c.span(path+"per_tray", f.PerTray, time.Second, longestHands)
	c.span(path+"by_hand", f.ByHand, time.Second, longestHands)
	if s.Kind == line.Dry || s.Kind == line.Chill || s.Kind == line.Sanitize {
		c.notHere(path+"by_hand", say.New("fault.not-used-station", s.Kind), say.New("fault.remove"))
	}
	ends := s.Hands == line.HandsStart || s.Hands == line.HandsEnd || s.Hands == line.HandsBoth
	switch {
	case c.blamed[path+"hands"]:
	case ends && c.missing(path+"hands_time"):
		c.fault(path+"hands_time", say.New("fault.hands-without", s.Hands), say.New("fault.add-hands"))
	case !ends:
		c.notHere(path+"hands_time", say.New("fault.not-used", s.Hands), say.New("fault.remove-write"))
	}
	switch s.Kind {
	case line.Cut, line.Pack, line.TrayWash, line.Sow:
		if c.missing(path + "per_tray") {
			c.fault(path+"per_tray", say.New("fault.station-needs", s.Kind), say.New("fault.add-per"))
		}
	default:
		c.notHere(path+"per_tray", say.New("fault.not-used-station", s.Kind), say.New("fault.remove"))
	}
}

func (c *checker) sanitize(path string, f *StationEntry, s *line.Station) {
	at := path + "contact"
	if s.Kind != line.Sanitize {
		c.notHere(at, say.New("fault.not-used-station", s.Kind), say.New("fault.remove"))
		return
	}
	if c.missing(at) {
		c.fault(at, say.New("fault.sanitize-station"), say.New("fault.add-contact"))
	}
	c.span(at, f.Contact, time.Second, 4*time.Hour)
}

func (c *checker) water(path string, f *StationEntry, s *line.Station, loads []string) {
	if s.Kind != line.Wash {
		for _, key := range []string{"drain_load", "drain_time", "water_batches"} {
			c.notHere(path+key, say.New("fault.not-used-station", s.Kind), say.New("fault.remove"))
		}
		return
	}
	if c.given(path + "drain_load") {
		s.DrainLoad = c.index(path+"drain_load", f.DrainLoad, say.New("fault.unknown-load"), loads)
		if c.missing(path + "drain_time") {
			c.fault(path+"drain_time", say.New("fault.drain-load"), say.New("fault.add-drain"))
		}
	}
	c.span(path+"drain_time", f.DrainTime, time.Second, 2*time.Hour)
	c.number(path+"water_batches", float64(f.WaterBatches), 0, mostBatches, "fault.unit-batches")
}

// batchFits checks that a batch as tub, spinner and rack hold it finds a place at
// every other station too; else it would be stuck there on its first day.
func (c *checker) batchFits(stations []line.Station) {
	site := line.Site{Stations: stations}
	size := site.BatchTrays()
	for _, k := range []line.Kind{line.Cut, line.Pack, line.Chill} {
		largest, at := 0, 0
		for _, i := range site.StationsOf(k) {
			if stations[i].SlotTrays > largest {
				largest, at = stations[i].SlotTrays, i
			}
		}
		if largest < size {
			c.fault(fmt.Sprintf("station[%d].trays", at), say.New("fault.less-than", size),
				say.New("fault.give-or-more", size))
		}
	}
}
