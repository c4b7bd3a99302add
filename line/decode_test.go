package line

import (
	"encoding/json"
	"reflect"
	"slices"
	"testing"

	"shedbell/recipes/strictfile/fuzztest"
)

// FuzzDecodeOften holds the short way against encoding/json: whatever it reads, it
// reads as that does.
func FuzzDecodeOften(f *testing.F) {
	names := []string{"step-started", "step-finished", "batch-loaded", "batch-cooled", "chore-finished", "chore-started"}
	for _, e := range []Event{
		StepStarted{Batch: 7, At: Place{1, 0}, Planned: 18e10, Load: -1, Setting: 2, Revision: 3}, StepFinished{Batch: 7},
		BatchLoaded{Batch: 7, At: Nowhere}, BatchCooled{Batch: 123456789, At: Place{5, 12}}, ChoreFinished{ID: 0},
		ChoreStarted{ID: 4, Kind: SowTrays, At: Place{8, 0}, Crop: "pea", Trays: 6, Planned: 6e10, Load: -1, Setting: 1},
		StepFinished{Batch: 1, Packages: 3, NetG: 1.5, Lot: "2026-12-03-001"}, StepFinished{Batch: 1, NetG: 1125.0625}, StepFinished{Batch: 2, Packages: 9, NetG: 1125, Lot: "2026-12-03-002", PackagesBy: Typed, NetBy: Weighed},
	} {
		name, data, err := EncodeEvent(e)
		if err != nil {
			f.Fatal(err)
		}
		got, ok := decodeOften(name, data)
		if !ok || !reflect.DeepEqual(got, e) {
			f.Errorf("%s: %s gave %+v", name, data, got)
		}
		f.Add(uint8(slices.Index(names, name)), data)
	}
	for _, s := range []string{`{"Batch":01}`, `{"Batch":-0}`, `{"Batch":-}`, `{"Batch":9999999999999999999}`, `{"Batch":1} `, `{"Batch":1}}`, `{"batch":1}`, `{"Batch":1e3}`,
		`{"Batch":1,"NetG":1.}`, `{"Batch":1,"NetG":-0}`, `{"Batch":1,"NetG":1e5}`, `{"Batch":1,"Lot":"a\\u0041"}`, `{"Batch":1,"Lot":"\u017a"}`, `{"Batch":1,"Lot":"a}`, `{"Batch":1,"Lot":"\x7f"}`} {
		f.Add(uint8(1), []byte(s))
	}
	for _, kind := range []string{`2`, `256`, `17`, `"17"`, `"sow"`, `"sowing"`, `"so"`, `"sow`, `""`, `null`} {
		f.Add(uint8(slices.Index(names, "chore-started")), []byte(`{"ID":1,"Kind":`+kind+`,"At":{"Station":0,"Slot":0},"Trays":0,"Planned":0,"Load":0,"Setting":0}`))
	}
	f.Fuzz(func(t *testing.T, kind uint8, data []byte) {
		defer fuzztest.Bound(t)()
		name := names[int(kind)%len(names)]
		got, ok := decodeOften(name, data)
		if !ok {
			return
		}
		v := reflect.New(eventTypes[name])
		if err := json.Unmarshal(data, v.Interface()); err != nil {
			t.Fatalf("%s %s is read, but is no JSON: %v", name, data, err)
		}
		if want := v.Elem().Interface(); !reflect.DeepEqual(got, want) {
			t.Errorf("%s %s: %+v, encoding/json says %+v", name, data, got, want)
		}
	})
}
