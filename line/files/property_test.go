package files

import (
	"fmt"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/power"
	"shedbell/recipes"
	"shedbell/recipes/strictfile"
)

var anyName = rapid.StringMatching(`[A-Za-zäøé"\\#=][A-Za-z0-9 '"\\#=\[\]-]{0,20}[A-Za-z0-9"\\]`)

func seconds(from, to int) *rapid.Generator[time.Duration] {
	return rapid.Map(rapid.IntRange(from, to), func(n int) time.Duration { return time.Duration(n) * time.Second })
}

// drawSite varies the starter shed in everything that a line file can say.
func drawSite(t *rapid.T) *line.Site {
	s := Starter()
	s.Name = anyName.Draw(t, "site")
	p := &s.Panel
	p.Supply = rapid.SampledFrom([]power.Supply{power.SupplyUnstated, power.Split240}).Draw(t, "supply")
	p.AmbientC = rapid.Float64Range(-30, 70).Draw(t, "ambient")
	p.DeratePerK = rapid.SampledFrom([]float64{0, 0.001, 0.0123, 0.05}).Draw(t, "derate")
	for i := range rapid.IntRange(0, 3).Draw(t, "feeders") {
		p.Feeders = append(p.Feeders, power.Feeder{Name: fmt.Sprintf("%s %d", anyName.Draw(t, "feeder"), i), RatingA: 60,
			Breaker: power.Standard(rapid.IntRange(0, 3).Draw(t, "kind"))})
	}
	for i := range p.Circuits {
		c := &p.Circuits[i]
		c.Name = fmt.Sprintf("%s %d", anyName.Draw(t, "circuit"), i)
		c.RatingA = rapid.Float64Range(1, mostBreakerA).Draw(t, "rating")
		c.EffectiveA = rapid.SampledFrom([]float64{0, c.RatingA}).Draw(t, "effective")
		c.Leg = power.Leg(rapid.IntRange(0, 3).Draw(t, "leg"))
		c.Rated100, c.GFCI = rapid.Bool().Draw(t, "rated"), rapid.Bool().Draw(t, "gfci")
		c.Breaker = power.Standard(rapid.IntRange(0, 3).Draw(t, "kind"))
		if len(p.Feeders) > 0 && rapid.Bool().Draw(t, "fed") {
			c.Feeder = rapid.SampledFrom(p.Feeders).Draw(t, "feeder").Name
		}
	}
	for i := range p.Loads {
		drawLoad(t, &p.Loads[i], i, len(p.Circuits))
	}
	for i := range s.Stations {
		st := &s.Stations[i]
		st.Slots, st.Walk = rapid.IntRange(1, mostSlots).Draw(t, "slots"), seconds(0, 1800).Draw(t, "walk")
		if st.Load != line.NoLoad && (st.Kind == line.Wash || st.Kind == line.Spin) && rapid.Bool().Draw(t, "by hand") {
			st.ByHandPer = seconds(1, 3600).Draw(t, "by hand a tray")
		}
		if st.PerTray > 0 {
			st.PerTray = seconds(1, 3600).Draw(t, "per tray")
		}
		if st.HandsTime > 0 {
			st.HandsTime = seconds(1, 3600).Draw(t, "hands")
		}
	}
	drawLimits(t, &s.Limits)
	return s
}

func drawLimits(t *rapid.T, l *line.Limits) {
	l.Location = rapid.OneOf(rapid.Just(""), anyName).Draw(t, "location")
	l.RetainYears = rapid.SampledFrom([]float64{0, 2, 2.5, 50}).Draw(t, "years")
	for range rapid.IntRange(0, 4).Draw(t, "limits") {
		of := rapid.SampledFrom(limited).Draw(t, "of")
		spec, _ := of.kind.Spec()
		unit := rapid.SampledFrom(spec.Units).Draw(t, "unit")
		low, high := unit.Bounds()
		l.List = append(l.List, line.Limit{Kind: of.kind, Use: of.use, Product: rapid.OneOf(rapid.Just(""), anyName).Draw(t, "product"),
			Bound: rapid.SampledFrom([]line.Bound{line.AtMost, line.AtLeast}).Draw(t, "bound"), Value: rapid.Float64Range(low, high).Draw(t, "value"),
			Unit: unit, Source: anyName.Draw(t, "source"), Scope: anyName.Draw(t, "scope")})
	}
}

func drawLoad(t *rapid.T, l *power.Load, i, circuits int) {
	l.Name = fmt.Sprintf("%s %d", anyName.Draw(t, "load"), i)
	l.Circuit = rapid.IntRange(0, circuits-1).Draw(t, "circuit")
	for k := range l.Settings {
		l.Settings[k].AmpsA = rapid.Float64Range(0.01, mostAmpsA).Draw(t, "amps")
	}
	l.StartingA, l.StartingTime = 0, 0
	if rapid.Bool().Draw(t, "motor") {
		l.StartingA = rapid.Float64Range(l.WorstA(), mostStartA).Draw(t, "starting")
		l.StartingTime = time.Duration(rapid.IntRange(1, 30_000).Draw(t, "ms")) * time.Millisecond
	}
	l.Wet, l.Continuous, l.HardWired = rapid.Bool().Draw(t, "wet"), rapid.Bool().Draw(t, "3 h"), rapid.Bool().Draw(t, "fixed")
	l.Cord = rapid.SampledFrom([]power.Cord{{}, {AWG: 14}, {AWG: 18, LengthM: 12.25}}).Draw(t, "cord")
}

// What writeLine writes, ReadLine reads back to the same site.
func TestAnySiteReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site := drawSite(t)
		text := writeLine(site)
		again, faults := ReadLine("x.toml", text)
		if len(faults) > 0 || !reflect.DeepEqual(again, site) {
			t.Fatalf("%v\n%s", strictfile.Join(faults), text)
		}
	})
}

// What writeDay writes, ReadDayIn reads back to the same sheet.
func TestAnySheetReadsBack(t *testing.T) {
	site, book := Starter(), recipes.Starters()
	rapid.Check(t, func(t *rapid.T) {
		loc := time.FixedZone("shed", rapid.IntRange(-12, 14).Draw(t, "zone")*3600)
		start := time.Date(2026, 1, 1, 0, 0, 0, 0, loc).Add(seconds(0, 364*86400).Draw(t, "start"))
		sheet := &line.Sheet{Date: start.Format(time.DateOnly), Start: start, Crew: []string{"Ash"}}
		for i, crop := range rapid.SliceOfNDistinct(rapid.SampledFrom(book.Crops()), 1, 6, rapid.ID).Draw(t, "crops") {
			demand := line.Demand{Crop: crop, Trays: rapid.IntRange(1, 80).Draw(t, "trays")}
			if rapid.Bool().Draw(t, "waited for") {
				demand.Due = start.Add(seconds(1, int(latestDue/time.Second)).Draw(t, "due"))
			}
			sheet.Crops = append(sheet.Crops, demand)
			if i > 0 {
				sheet.Apart = append(sheet.Apart, [2]string{sheet.Crops[i-1].Crop, crop})
				sheet.Sow = append(sheet.Sow, line.SowItem{Crop: crop, Trays: demand.Trays})
			}
		}
		text := writeDay(sheet)
		again, faults := ReadDay(loc, "x.toml", text, site, book)
		if len(faults) > 0 || !reflect.DeepEqual(again, sheet) {
			t.Fatalf("%v\n%s", strictfile.Join(faults), text)
		}
	})
}
