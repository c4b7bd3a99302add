package journal

import (
	"context"
	"fmt"
	"reflect"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/power"
	"shedbell/recipes"
)

var ctx = context.Background()

func open(t testing.TB, dir string) *Journal {
	t.Helper()
	j, err := Open(dir, Options{Now: func() time.Time { return dawn }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = j.Close() })
	return j
}

// checker is what testing.TB and rapid.T share.
type checker interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

func must(t checker, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func replay(t checker, j *Journal, from int64) []line.Record {
	t.Helper()
	var out []line.Record
	must(t, j.Replay(from, func(r line.Record) error {
		out = append(out, r)
		return nil
	}))
	return out
}

// dawn is the beginning of the first invented day.
var dawn = time.Date(2026, time.May, 4, 7, 30, 0, 0, time.FixedZone("", 2*3600))

// shedSite is a small invented line: enough stations for a batch to run through.
func shedSite() line.Site {
	on := []power.Setting{{Name: "on", AmpsA: 4}}
	site := line.Site{Name: "Alder shed", Crew: []string{"first", "second"}, Panel: power.Panel{
		VoltageV: 120,
		Circuits: []power.Circuit{{Name: "bench", RatingA: 20}, {Name: "rack", RatingA: 20}},
		Loads: []power.Load{
			{Name: "tub-blower", Circuit: 0, Settings: on},
			{Name: "spinner", Circuit: 0, Settings: on},
			{Name: "rack-fans", Circuit: 1, Settings: on}}}}
	for _, k := range []line.Kind{line.Cut, line.Wash, line.Spin, line.Dry, line.Pack, line.Chill} {
		st := line.Station{Name: k.String(), Kind: k, Slots: 1, SlotTrays: 6, Load: line.NoLoad, DrainLoad: line.NoLoad}
		if k >= line.Wash && k <= line.Dry {
			st.Load = int(k - line.Wash)
		}
		if k == line.Dry {
			st.Slots = 3
		}
		site.Stations = append(site.Stations, st)
	}
	return site
}

// story writes the records of days of work, one after the other, numbered from 1.
// Record n of it is always the same, so that a test knows what must be on the disk.
type story struct {
	records []line.Record
	at      time.Time
	batch   int
}

func (s *story) tell(undo string, events ...line.Event) {
	group := int64(len(s.records)) + 1
	for _, e := range events {
		r := line.Record{Seq: int64(len(s.records)) + 1, Group: group, At: s.at, By: "first", Event: e}
		if r.Seq == group {
			r.Undo = undo
		}
		s.records = append(s.records, r)
	}
	s.at = s.at.Add(37*time.Second + 123456789)
}

func (s *story) day(crops ...string) {
	sheet := line.Sheet{Date: s.at.Format(time.DateOnly), Start: s.at, Crew: []string{"first"}}
	var made []line.NewBatch
	for i, crop := range crops {
		sheet.Crops = append(sheet.Crops, line.Demand{Crop: crop, Trays: 4})
		made = append(made, line.NewBatch{ID: s.batch + i + 1, Crop: crop, No: i + 1, Trays: 4})
	}
	s.tell("opening of the day", line.DayOpened{Sheet: sheet, Batches: made})
	for range crops {
		s.batch++
		s.process(s.batch)
	}
	s.tell("", line.NoteAdded{Text: "tub drained \u2014 floor wet"})
	s.tell("closing of the day", line.DayClosed{Note: "done"})
	s.at = s.at.Add(14 * time.Hour)
}

func (s *story) process(batch int) {
	load := []int{line.NoLoad, 0, 1, 2, line.NoLoad}
	for station := range 5 {
		p := line.Place{Station: station}
		s.tell(fmt.Sprintf("start of batch %d", batch), line.StepStarted{Batch: batch, At: p,
			Planned: 4 * time.Minute, Load: load[station], Revision: 1})
		if station == 3 {
			s.tell("2 minutes more", line.StepAdjusted{At: p, By: 2 * time.Minute})
		}
		s.tell("end of step", line.StepFinished{Batch: batch, Packages: station, NetG: 12.5})
	}
	s.tell("into the cold", line.BatchCooled{Batch: batch, At: line.Place{Station: 5}})
}

// tale tells at least n records and cuts off what is too much.
func tale(n int) []line.Record {
	s := story{at: dawn}
	book := []recipes.Recipe{{Crop: "radish", Revision: 1, Soak: 3 * time.Minute, Spin: 4 * time.Minute, Dry: time.Hour, Fan: "low"}}
	for i := range 40 { // large enough for overflow pages
		book = append(book, recipes.Recipe{Crop: fmt.Sprintf("crop %d", i), Revision: 1, Note: "taste and adjust"})
	}
	s.tell("", line.LineLaid{Site: shedSite(), Recipes: book})
	for len(s.records) < n {
		s.day("radish", "broccoli", "sunflower", "pea", "radish", "mustard", "kale", "radish", "pea", "basil", "cress", "pea")
	}
	return s.records[:n]
}

// same compares values as the journal has to bring them back: instants by what
// they are and their offset, and an empty list as none.
func same(a, b reflect.Value) bool {
	if a.IsValid() != b.IsValid() || a.IsValid() && a.Type() != b.Type() {
		return false
	}
	if !a.IsValid() {
		return true
	}
	if t, ok := a.Interface().(time.Time); ok {
		u := b.Interface().(time.Time)
		_, ao := t.Zone()
		_, bo := u.Zone()
		return t.Equal(u) && ao == bo
	}
	switch a.Kind() {
	case reflect.Interface:
		return same(a.Elem(), b.Elem())
	case reflect.Struct:
		for i := range a.NumField() {
			if !same(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !same(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	}
	return reflect.DeepEqual(a.Interface(), b.Interface())
}

func requireSame(t checker, want, got []line.Record) {
	t.Helper()
	if len(want) != len(got) {
		t.Fatalf("%d records, want %d", len(got), len(want))
	}
	for i := range want {
		if !same(reflect.ValueOf(want[i]), reflect.ValueOf(got[i])) {
			t.Fatalf("record %d came back as\n%+v, was\n%+v", want[i].Seq, got[i], want[i])
		}
	}
}
