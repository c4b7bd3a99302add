package line

import (
	"encoding/json"
	"reflect"
	"testing"
)

// FuzzDecodeOften holds the short way against encoding/json: whatever it reads, it
// reads as that does.
func FuzzDecodeOften(f *testing.F) {
	names := []string{"step-started", "step-finished", "batch-loaded", "batch-cooled", "chore-finished"}
	for i, e := range []Event{
		StepStarted{Batch: 7, At: Place{1, 0}, Planned: 18e10, Load: -1, Setting: 2, Revision: 3}, StepFinished{Batch: 7},
		BatchLoaded{Batch: 7, At: Nowhere}, BatchCooled{Batch: 123456789, At: Place{5, 12}}, ChoreFinished{ID: 0},
		StepFinished{Batch: 1, Packages: 3, NetG: 1.5, Lot: "2026-12-03-001"},
	} {
		name, data, err := EncodeEvent(e)
		if err != nil {
			f.Fatal(err)
		}
		got, ok := decodeOften(name, data)
		if i < 5 && (!ok || !reflect.DeepEqual(got, e)) {
			f.Errorf("%s: %s gave %+v", name, data, got)
		}
		f.Add(uint8(i), data)
	}
	for _, s := range []string{`{"Batch":01}`, `{"Batch":-0}`, `{"Batch":-}`, `{"Batch":9999999999999999999}`, `{"Batch":1} `, `{"Batch":1}}`, `{"batch":1}`, `{"Batch":1e3}`} {
		f.Add(uint8(1), []byte(s))
	}
	f.Fuzz(func(t *testing.T, kind uint8, data []byte) {
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
