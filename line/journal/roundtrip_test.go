package journal

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/recipes/strictfile/fuzztest"
)

// instants reach from year 1 to 9999, which RFC 3339 can write, with any offset of
// whole minutes, which is as fine as RFC 3339 writes it.
var instants = rapid.Custom(func(t *rapid.T) time.Time {
	sec := rapid.Int64Range(-62135510400, 253402214400).Draw(t, "seconds")
	return zoned(t, time.Unix(sec, rapid.Int64Range(0, 999999999).Draw(t, "nanoseconds")))
})

func zoned(t *rapid.T, at time.Time) time.Time {
	return at.In(time.FixedZone("", 60*rapid.IntRange(-14*60, 14*60).Draw(t, "offset in minutes")))
}

var sentences = rapid.Custom(func(t *rapid.T) say.Sentence {
	return say.New(rapid.String().Draw(t, "id"), rapid.SliceOf(rapid.OneOf(rapid.String().AsAny(), rapid.Int().AsAny(),
		rapid.Map(rapid.Float64(), func(f float64) say.Amps { return say.Amps(f) }).AsAny(), rapid.Map(rapid.String(), func(s string) say.Load { return say.Load(s) }).AsAny())).Draw(t, "values")...)
})

var makeConfig = rapid.MakeConfig{
	Types: map[reflect.Type]*rapid.Generator[any]{reflect.TypeFor[time.Time](): instants.AsAny(), reflect.TypeFor[say.Sentence](): sentences.AsAny()},
}

func eventOf[T line.Event]() *rapid.Generator[line.Event] {
	return rapid.Map(rapid.MakeCustom[T](makeConfig), func(v T) line.Event { return v })
}

// corrections have events in them.
var corrections = rapid.Custom(func(t *rapid.T) line.Event {
	c := line.Corrected{Entry: rapid.Int64().Draw(t, "entry"), At: instants.Draw(t, "at"), By: rapid.String().Draw(t, "by"), Out: rapid.Bool().Draw(t, "out")}
	for range rapid.IntRange(0, 2).Draw(t, "events") {
		c.Events = append(c.Events, line.TraysFound{Batch: rapid.Int().Draw(t, "batch"), Trays: rapid.Int().Draw(t, "trays")})
	}
	return c
})

// anyEvent has a generator for every event of package line.
var anyEvent = map[string]*rapid.Generator[line.Event]{
	"LineLaid":        eventOf[line.LineLaid](),
	"DayOpened":       eventOf[line.DayOpened](),
	"DayClosed":       eventOf[line.DayClosed](),
	"BatchesAdded":    eventOf[line.BatchesAdded](),
	"BatchLoaded":     eventOf[line.BatchLoaded](),
	"StepStarted":     eventOf[line.StepStarted](),
	"StepFinished":    eventOf[line.StepFinished](),
	"BatchCooled":     eventOf[line.BatchCooled](),
	"StepAdjusted":    eventOf[line.StepAdjusted](),
	"StepHeld":        eventOf[line.StepHeld](),
	"StepResumed":     eventOf[line.StepResumed](),
	"BatchSplit":      eventOf[line.BatchSplit](),
	"BatchMerged":     eventOf[line.BatchMerged](),
	"BatchScrapped":   eventOf[line.BatchScrapped](),
	"ChoreStarted":    eventOf[line.ChoreStarted](),
	"ChoreFinished":   eventOf[line.ChoreFinished](),
	"LoadSwitched":    eventOf[line.LoadSwitched](),
	"RecipeRevised":   eventOf[line.RecipeRevised](),
	"TastingMade":     eventOf[line.TastingMade](),
	"AirRead":         eventOf[line.AirRead](),
	"AirUsed":         eventOf[line.AirUsed](),
	"CrewChanged":     eventOf[line.CrewChanged](),
	"HoursSet":        eventOf[line.HoursSet](),
	"WorkGivenOver":   eventOf[line.WorkGivenOver](),
	"BreakerTripped":  eventOf[line.BreakerTripped](),
	"CircuitLimited":  eventOf[line.CircuitLimited](),
	"BreakerReset":    eventOf[line.BreakerReset](),
	"SlotBroken":      eventOf[line.SlotBroken](),
	"SlotMended":      eventOf[line.SlotMended](),
	"NoteAdded":       eventOf[line.NoteAdded](),
	"WatchLost":       eventOf[line.WatchLost](),
	"Refused":         eventOf[line.Refused](),
	"Undone":          eventOf[line.Undone](),
	"AlarmRaised":     eventOf[line.AlarmRaised](),
	"AlarmsAcked":     eventOf[line.AlarmsAcked](),
	"AlarmShelved":    eventOf[line.AlarmShelved](),
	"TroubleReported": eventOf[line.TroubleReported](),
	"TroubleMended":   eventOf[line.TroubleMended](),
	"ClockJumped":     eventOf[line.ClockJumped](),
	"ClockFollowed":   eventOf[line.ClockFollowed](),
	"EntryMade":       eventOf[line.EntryMade](),
	"Sold":            eventOf[line.Sold](),
	"PackagesThrown":  eventOf[line.PackagesThrown](),
	"GrowingCounted":  eventOf[line.GrowingCounted](),
	"OrderTaken":      eventOf[line.OrderTaken](),
	"OrderCancelled":  eventOf[line.OrderCancelled](),
	"SeedUsed":        eventOf[line.SeedUsed](),
	"Promised":        eventOf[line.Promised](),
	"PacePinned":      eventOf[line.PacePinned](),
	"PaceUnpinned":    eventOf[line.PaceUnpinned](),
	"PaceForgotten":   eventOf[line.PaceForgotten](),
	"MarkAdded":       eventOf[line.MarkAdded](),
	"TimesKept":       eventOf[line.TimesKept](),
	"RiskNoted":       eventOf[line.RiskNoted](),
	"HandedOn":        eventOf[line.HandedOn](),
	"SignedOff":       eventOf[line.SignedOff](),
	"TubDrained":      eventOf[line.TubDrained](),
	"TraysFound":      eventOf[line.TraysFound](),
	"TraysLost":       eventOf[line.TraysLost](),
	"StepSkipped":     eventOf[line.StepSkipped](),
	"BatchMoved":      eventOf[line.BatchMoved](),
	"FoundOn":         eventOf[line.FoundOn](),
	"FoundOff":        eventOf[line.FoundOff](),
	"Unplugged":       eventOf[line.Unplugged](),
	"PluggedIn":       eventOf[line.PluggedIn](),
	"PowerLost":       eventOf[line.PowerLost](),
	"PowerBack":       eventOf[line.PowerBack](),
	"Corrected":       corrections,
	"SignOffRevoked":  eventOf[line.SignOffRevoked](),
}

// An event that is added to package line without a generator here would go
// untested, so the source is asked which there are.
func TestEveryEventHasAGenerator(t *testing.T) {
	sources, err := filepath.Glob(filepath.Join("..", "*.go"))
	must(t, err)
	var declared []string
	for _, source := range sources {
		f, err := parser.ParseFile(token.NewFileSet(), source, nil, parser.SkipObjectResolution)
		must(t, err)
		for _, d := range f.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok && fn.Name.Name == "apply" && fn.Recv != nil {
				declared = append(declared, fn.Recv.List[0].Type.(*ast.Ident).Name)
			}
		}
	}
	if len(declared) == 0 {
		t.Fatal("no event found in the source")
	}
	for _, name := range declared {
		if anyEvent[name] == nil {
			t.Errorf("no generator for event %s", name)
		}
	}
	if len(declared) != len(anyEvent) {
		t.Errorf("%d generators for %d events", len(anyEvent), len(declared))
	}
}

func drawRecords(t *rapid.T, after int64) []line.Record {
	names := make([]string, 0, len(anyEvent))
	for name := range anyEvent {
		names = append(names, name)
	}
	slices.Sort(names)
	records := make([]line.Record, rapid.IntRange(1, 4).Draw(t, "records"))
	for i := range records {
		name := rapid.SampledFrom(names).Draw(t, "event")
		nanos := rapid.Int64().Draw(t, "at")
		records[i] = line.Record{
			Seq: after + int64(i) + 1, Group: after + 1, At: zoned(t, time.Unix(0, nanos)),
			By: rapid.String().Draw(t, "by"), Undo: rapid.String().Draw(t, "undo"),
			Event: anyEvent[name].Draw(t, name),
		}
	}
	return records
}

func TestAppendedRecordsComeBackIdentical(t *testing.T) {
	j := open(t, t.TempDir())
	var all []line.Record
	rapid.Check(t, func(t *rapid.T) {
		records := drawRecords(t, j.last.Load())
		from := j.last.Load() + 1
		if err := j.Append(ctx, records); err != nil {
			t.Fatal(err)
		}
		all = append(all, records...)
		requireSame(t, records, replay(t, j, from))
	})
	must(t, j.Close())
	requireSame(t, all, replay(t, open(t, j.Dir()), 0))
	report, err := Check(j.Dir())
	must(t, err)
	if !report.OK() || report.Records != int64(len(all)) {
		t.Errorf("check after %d records: %+v", len(all), report)
	}
}

// The monotonic reading must not come back, and the local zone must.
func TestLocalInstantsKeepTheirZone(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Skip("no zone data here")
	}
	before := time.Local
	time.Local = zone
	defer func() { time.Local = before }()
	j := open(t, t.TempDir())
	now := time.Now()
	// IANA tzdata 2024a, Europe/Berlin: on 25 October 2026 at 01:00 UTC +02:00 becomes
	// +01:00, so these two show the same wall clock.
	first := time.Date(2026, 10, 25, 0, 30, 0, 0, time.UTC).In(zone)
	second := first.Add(time.Hour)
	abroad := now.In(time.FixedZone("", -7*3600))
	for i, at := range []time.Time{now, first, second, abroad} {
		must(t, j.Append(ctx, []line.Record{{Seq: int64(i) + 1, Group: int64(i) + 1, At: at, Event: line.NoteAdded{Text: "x"}}}))
	}
	got := replay(t, j, 1)
	if !got[0].At.Equal(now) || strings.Contains(got[0].At.String(), "m=") || got[0].At.Location() != time.Local {
		t.Errorf("%v came back as %v", now, got[0].At)
	}
	if a, b := got[1].At.Format(time.RFC3339), got[2].At.Format(time.RFC3339); a != "2026-10-25T02:30:00+02:00" || b != "2026-10-25T02:30:00+01:00" {
		t.Errorf("the doubled hour came back as %s and %s", a, b)
	}
	if _, offset := got[3].At.Zone(); offset != -7*3600 {
		t.Errorf("offset %d, want -25200", offset)
	}
}

// FuzzRow gives Replay's decoding whatever a damaged or foreign file may hold. It
// must not panic, and what it accepts must survive being written again.
func FuzzRow(f *testing.F) {
	for name, g := range anyEvent {
		kind, data, err := line.EncodeEvent(g.Example(1))
		if err != nil {
			f.Fatal(name, err)
		}
		f.Add(kind, data, int64(1), int64(7200))
	}
	f.Add("day-opened", []byte(`{"Sheet":{"Crops":[{"Trays":1e400}]}}`), int64(-1), int64(1)<<40)
	f.Add("", []byte("null"), int64(0), int64(0))
	f.Fuzz(func(t *testing.T, kind string, data []byte, at, zone int64) {
		defer fuzztest.Bound(t)()
		w := row{seq: 1, grp: 1, atNS: at, zoneS: zone, kind: kind, data: data}
		r, err := w.record()
		if err != nil {
			return
		}
		var sums summer
		again, err := rowOf(r, &sums)
		if err != nil {
			return // an instant with an offset that RFC 3339 cannot write
		}
		second, err := again.record()
		if err != nil {
			t.Fatalf("%s %q was accepted, but not %q, which it was written as: %v", kind, data, again.data, err)
		}
		requireSame(t, []line.Record{r}, []line.Record{second})
	})
}
