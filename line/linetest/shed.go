// Package linetest is what the tests of many packages share: a small invented shed,
// random days and moments of them, journals of many years, and readers by others. No
// product package imports it.
package linetest

import (
	"time"

	"shedbell/line"
	"shedbell/power"
	"shedbell/recipes"
)

// Loads of the shed, by index.
const (
	Washer = iota
	Blower
	Spinner
	Fans
	Fridge
	Drain
	Lights
)

// Stations of the shed, by index.
const (
	Cut = iota
	Tub
	Spin
	Rack
	Pack
	Cold
	TrayWash
	Sanitize
	Sow
)

// Morning is when the tests' days begin.
var Morning = time.Date(2026, 12, 3, 7, 30, 0, 0, time.UTC)

func on(amps float64) []power.Setting { return []power.Setting{{Name: "on", AmpsA: amps}} }

// Panel is the shed's wiring: two 20 A circuits and one of 15 A at 120 V.
func Panel() power.Panel {
	return power.Panel{
		VoltageV: 120,
		Circuits: []power.Circuit{{Name: "wet wall", RatingA: 20}, {Name: "cold wall", RatingA: 20}, {Name: "lights", RatingA: 15}},
		Loads: []power.Load{
			{Name: "pressure-washer", Circuit: 0, Settings: on(14), StartingA: 60, StartingTime: 600 * time.Millisecond, Alone: true},
			{Name: "tub-blower", Circuit: 0, Settings: on(5.8), StartingA: 25, StartingTime: 500 * time.Millisecond},
			{Name: "spinner", Circuit: 0, Settings: on(7), StartingA: 30, StartingTime: time.Second},
			{Name: "rack-fans", Circuit: 1, Settings: []power.Setting{{Name: "low", AmpsA: 1.6}, {Name: "medium", AmpsA: 2.8}, {Name: "high", AmpsA: 4.2}}},
			{Name: "fridge", Circuit: 1, Settings: on(6), StartingA: 18, StartingTime: 500 * time.Millisecond, Cycles: true, StaysOn: true},
			{Name: "drain-pump", Circuit: 0, Settings: on(4), SelfOff: true},
			{Name: "lights", Circuit: 2, Settings: on(1.5), StaysOn: true},
		},
	}
}

// Site is the whole shed.
func Site() *line.Site {
	st := func(name string, kind line.Kind, slots, trays, load int, hands line.Hands) line.Station {
		return line.Station{Name: name, Kind: kind, Slots: slots, SlotTrays: trays, Load: load, Hands: hands,
			HandsTime: 30 * time.Second, Walk: 10 * time.Second, DrainLoad: line.NoLoad}
	}
	s := &line.Site{
		Name:  "Test shed",
		Panel: Panel(),
		Crew:  []string{"Ash"},
		Stations: []line.Station{
			st("cutting table", line.Cut, 1, 4, line.NoLoad, line.HandsThroughout),
			st("tub", line.Wash, 1, 4, Blower, line.HandsBoth),
			st("spinner", line.Spin, 1, 4, Spinner, line.HandsBoth),
			st("rack", line.Dry, 4, 4, Fans, line.HandsBoth),
			st("packing table", line.Pack, 1, 4, line.NoLoad, line.HandsThroughout),
			st("fridge", line.Chill, 60, 12, line.NoLoad, line.HandsStart),
			st("tray wash", line.TrayWash, 1, 30, Washer, line.HandsThroughout),
			st("sanitizing", line.Sanitize, 1, 60, line.NoLoad, line.HandsStart),
			st("sowing bench", line.Sow, 1, 30, line.NoLoad, line.HandsThroughout),
		},
	}
	s.Stations[Cut].PerTray = 200 * time.Second // 18 trays an hour: common practice, no source
	s.Stations[Pack].PerTray = 90 * time.Second
	s.Stations[TrayWash].PerTray = 75 * time.Second
	s.Stations[Sow].PerTray = time.Minute
	s.Stations[Sanitize].Contact = 10 * time.Minute
	s.Stations[Tub].DrainLoad, s.Stations[Tub].DrainTime, s.Stations[Tub].WaterBatches = Drain, 4*time.Minute, 4
	return s
}

// Book has recipes for four crops.
func Book() recipes.Book {
	r := func(crop string, soak, spin, dry time.Duration, fan string) recipes.Recipe {
		return recipes.Recipe{Crop: crop, Revision: 1, BatchTrays: 4, Soak: soak, Drain: 30 * time.Second, Spin: spin, Dry: dry, Fan: fan,
			MinSoak: time.Minute, MaxWetWait: 15 * time.Minute, YieldG: 300, PackageG: 125, SeedG: 30, DaysToHarvest: 10}
	}
	return recipes.NewBook(
		r("pea", 3*time.Minute, 4*time.Minute, 18*time.Minute, "medium"),
		r("radish", 4*time.Minute, 4*time.Minute, 20*time.Minute, "medium"),
		r("sunflower", 5*time.Minute, 4*time.Minute, 22*time.Minute, "high"),
		r("broccoli", 3*time.Minute, 3*time.Minute, 25*time.Minute, "low"),
	)
}

// Sheet is a day of 18 trays of four crops.
func Sheet() line.Sheet {
	return line.Sheet{Date: "2026-12-03", Start: Morning, Crew: []string{"Ash"},
		Crops: []line.Demand{{Crop: "pea", Trays: 6}, {Crop: "radish", Trays: 5}, {Crop: "sunflower", Trays: 4}, {Crop: "broccoli", Trays: 3}},
		Apart: [][2]string{{"radish", "pea"}},
	}
}

// Open is the shed with its day opened.
func Open() *line.State {
	s, _, no := line.Do(line.NewState(Site(), Book()), line.OpenDay{Sheet: Sheet()}, Morning, "Ash")
	if no != nil {
		panic(no)
	}
	return s
}
