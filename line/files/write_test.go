package files

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/power"
	"shedbell/power/breaker"
	"shedbell/recipes/strictfile"
)

// writer puts keys on lines of their own and leaves out what is not set.
type writer struct{ strings.Builder }

func (w *writer) header(name string) { fmt.Fprintf(w, "\n[[%s]]\n", name) }

func (w *writer) raw(key, value string) { fmt.Fprintf(w, "%s = %s\n", key, value) }

func (w *writer) text(key, value string) {
	if value != "" {
		w.raw(key, quote(value))
	}
}

func (w *writer) number(key string, v float64) {
	if v != 0 {
		w.raw(key, number(v))
	}
}

func (w *writer) span(key string, d time.Duration) {
	if d != 0 {
		w.raw(key, quote(strictfile.Duration(d).String()))
	}
}

func (w *writer) yes(key string, v bool) {
	if v {
		w.raw(key, "true")
	}
}

func (w *writer) list(key string, names []string) {
	if len(names) == 0 {
		return
	}
	quoted := make([]string, len(names))
	for i, n := range names {
		quoted[i] = quote(n)
	}
	w.raw(key, "["+strings.Join(quoted, ", ")+"]")
}

func (w *writer) points(maker []breaker.Point) {
	pairs := make([]string, len(maker))
	for i, p := range maker {
		pairs[i] = "[" + number(p.Multiple) + ", " + number(p.Seconds) + "]"
	}
	if len(pairs) > 0 {
		w.raw("trips_not_before", "["+strings.Join(pairs, ", ")+"]")
	}
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// quote writes a TOML basic string. Names hold no control characters, so only
// two characters need care.
func quote(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(strictfile.Printable(s)) + `"`
}

// writeLine gives a site as a line file that ReadLine reads back.
func writeLine(s *line.Site) []byte {
	var w writer
	w.text("name", s.Name)
	w.number("voltage", s.Panel.VoltageV)
	if s.Panel.Supply != power.SupplyUnstated {
		w.text("supply", supplyWords[s.Panel.Supply-1])
	}
	w.number("ambient_c", s.Panel.AmbientC)
	w.number("derate_per_c", s.Panel.DeratePerK)
	w.list("crew", s.Crew)
	w.text("location", s.Limits.Location)
	w.number("keep_records_years", s.Limits.RetainYears)
	for _, f := range s.Panel.Feeders {
		w.header("feeder")
		w.text("name", f.Name)
		w.number("breaker_a", f.RatingA)
		w.text("breaker", standardWords[f.Breaker])
		w.points(f.Maker)
	}
	for i := range s.Panel.Circuits {
		w.circuit(&s.Panel.Circuits[i])
	}
	for i := range s.Panel.Loads {
		w.load(&s.Panel, &s.Panel.Loads[i])
	}
	for i := range s.Stations {
		w.station(&s.Panel, &s.Stations[i])
	}
	for i := range s.Limits.List {
		w.limit(&s.Limits.List[i])
	}
	return []byte(w.String())
}

func (w *writer) circuit(c *power.Circuit) {
	w.header("circuit")
	w.text("name", c.Name)
	w.number("breaker_a", c.RatingA)
	w.text("breaker", standardWords[c.Breaker])
	w.points(c.Maker)
	w.text("feeder", c.Feeder)
	if c.Leg != power.LegNone {
		w.text("leg", legWords[c.Leg-1])
	}
	w.yes("rated_100_percent", c.Rated100)
	w.number("effective_a", c.EffectiveA)
	w.number("receptacle_a", c.ReceptacleA)
	w.yes("gfci", c.GFCI)
	w.text("ground_fault", c.GroundFault)
	w.text("neutral_with", c.NeutralWith)
	w.number("wire_awg", float64(c.Wire.AWG))
	w.number("wire_mm2", c.Wire.MM2)
	w.number("wire_m", c.Wire.LengthM)
	w.text("wire_method", c.Wire.Method)
}

func (w *writer) load(p *power.Panel, l *power.Load) {
	w.header("load")
	w.text("name", l.Name)
	w.text("circuit", p.Circuits[l.Circuit].Name)
	if len(l.Settings) == 1 && l.Settings[0].Name == onSetting {
		w.number("amps", l.Settings[0].AmpsA)
	} else {
		pairs := make([]string, len(l.Settings))
		for i, s := range l.Settings {
			pairs[i] = quote(s.Name) + " = " + number(s.AmpsA)
		}
		w.raw("settings", "{ "+strings.Join(pairs, ", ")+" }")
	}
	w.number("starting_a", l.StartingA)
	if l.StartingTime > 0 {
		w.text("starting", StartTime(l.StartingTime).String())
	}
	w.yes("switches_itself_off", l.SelfOff)
	w.yes("runs_alone", l.Alone)
	w.yes("cycles_by_itself", l.Cycles)
	w.yes("stays_on", l.StaysOn)
	w.yes("continuous", l.Continuous)
	w.yes("hard_wired", l.HardWired)
	w.yes("wet", l.Wet)
	w.number("cord_awg", float64(l.Cord.AWG))
	w.number("cord_mm2", l.Cord.MM2)
	w.yes("light", l.Light)
	w.number("cord_m", l.Cord.LengthM)
}

func (w *writer) station(p *power.Panel, s *line.Station) {
	w.header("station")
	w.text("name", s.Name)
	w.text("kind", s.Kind.String())
	w.number("slots", float64(s.Slots))
	w.number("trays", float64(s.SlotTrays))
	if s.Load != line.NoLoad {
		w.text("load", p.Loads[s.Load].Name)
	}
	w.text("setting", s.Setting)
	w.text("hands", s.Hands.String())
	w.span("hands_time", s.HandsTime)
	w.span("per_tray", s.PerTray)
	w.span("by_hand", s.ByHandPer)
	w.span("walk", s.Walk)
	w.span("contact", s.Contact)
	if s.DrainLoad != line.NoLoad {
		w.text("drain_load", p.Loads[s.DrainLoad].Name)
	}
	w.span("drain_time", s.DrainTime)
	w.number("water_batches", float64(s.WaterBatches))
}

// writeDay gives a sheet as a day sheet that ReadDayIn reads back in the zone of
// its start.
func writeDay(s *line.Sheet) []byte {
	var w writer
	loc := s.Start.Location()
	w.raw("date", s.Date)
	w.raw("start", s.Start.Format(time.TimeOnly))
	w.list("crew", s.Crew)
	if len(s.Apart) > 0 {
		pairs := make([]string, len(s.Apart))
		for i, pair := range s.Apart {
			pairs[i] = "[" + quote(pair[0]) + ", " + quote(pair[1]) + "]"
		}
		w.raw("apart", "["+strings.Join(pairs, ", ")+"]")
	}
	for _, c := range s.Crops {
		w.header("crop")
		w.text("name", c.Crop)
		w.number("trays", float64(c.Trays))
		if due := c.Due.In(loc); !c.Due.IsZero() && due.Format(time.DateOnly) == s.Date {
			w.raw("due", due.Format(time.TimeOnly))
		} else if !c.Due.IsZero() {
			w.raw("due", due.Format("2006-01-02T15:04:05"))
		}
	}
	for _, item := range s.Sow {
		w.header("sow")
		w.text("crop", item.Crop)
		w.number("trays", float64(item.Trays))
	}
	return []byte(w.String())
}

func (w *writer) limit(l *line.Limit) {
	w.header("limit")
	for i := range limited {
		if limited[i].kind == l.Kind && limited[i].use == l.Use {
			w.text("of", limited[i].word)
		}
	}
	w.text("product", l.Product)
	key := "at_most"
	if l.Bound == line.AtLeast {
		key = "at_least"
	}
	w.raw(key, number(l.Value))
	w.text("unit", string(l.Unit))
	w.text("source", l.Source)
	w.text("scope", l.Scope)
}
