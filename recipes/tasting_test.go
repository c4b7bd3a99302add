package recipes

import (
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"
)

func someRan() []Ran {
	pea := Ran{Batch: "PEA 1", Lot: "A0314-1", Crop: "pea", Revision: 2, Soak: 3 * time.Minute, Drain: 30 * time.Second,
		Spin: 4 * time.Minute, SpinRamp: 20 * time.Second, Dry: 22 * time.Minute, Fan: FanMedium,
		Air: Air{TempC: 24, RHPercent: 71}, Packed: time.Date(2026, 3, 14, 15, 0, 0, 0, time.UTC)}
	pea2, radish, radish2 := pea, pea, pea
	pea2.Batch, pea2.Lot = "PEA 2", "A0314-2"
	radish.Batch, radish.Lot, radish.Crop = "RADISH 1", "A0314-3", "radish"
	radish2.Batch, radish2.Lot, radish2.Crop = "RADISH 2", "A0314-3", "radish"
	return []Ran{pea, pea2, radish, radish2}
}

func TestBind(t *testing.T) {
	judged := Tasting{Stage: NextDay, By: "R", Wetness: 4, Bruising: 2, Grit: 1, Flavour: 5, DaysKept: 8}
	for _, name := range []string{"PEA 1", "pea 1", "A0314-1", " a0314-1 "} {
		got, err := Bind(judged, name, someRan())
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if got.Ran.Revision != 2 || got.Ran.Dry != 22*time.Minute || got.Ran.Air.RHPercent != 71 || got.Wetness != 4 {
			t.Errorf("%s is bound to %+v", name, got)
		}
	}
	got, err := Bind(judged, "A0314-9", someRan())
	var unknown *UnknownError
	if !errors.As(err, &unknown) || unknown.Near[0] != "A0314-3" || !reflect.DeepEqual(got, judged) {
		t.Errorf("an unknown lot: %v; the tasting became %+v", err, got)
	}
	if want := `lot or batch "A0314-9" is not known; known are A0314-3, A0314-2, A0314-1, RADISH 2, RADISH 1`; err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	if _, err := Bind(judged, "A0314-3", someRan()); err == nil || !strings.Contains(err.Error(), "name one of RADISH 1, RADISH 2") {
		t.Errorf("a lot of two batches: %v", err)
	}
	if _, err := Bind(judged, "", nil); err == nil {
		t.Error("bound to nothing")
	}
}

func TestTastingIsRefusedAndKept(t *testing.T) {
	ran := someRan()
	humid := ran
	humid[1].Air.RHPercent = 140
	for _, c := range []struct {
		batch  string
		change func(*Tasting)
		want   string
	}{
		{"PEA 1", func(t *Tasting) { t.Wetness = 6 }, "wetness 6: give 1 to 5"},
		{"PEA 1", func(t *Tasting) { t.Grit = -1 }, "grit -1: give 1 to 5"},
		{"PEA 1", func(t *Tasting) { t.DaysKept = -2 }, "days kept -2: give 1 to 60"},
		{"PEA 1", func(t *Tasting) { t.Note = "a\x1b[2J" }, "control character"},
		{"PEA 1", func(t *Tasting) { t.Weights = Weights{AfterSpinG: 2000, AfterDryG: 2200} }, "weight grows while drying, from 2.00 kg to 2.20 kg"},
		{"PEA 1", func(t *Tasting) { t.Weights = Weights{AfterDryG: 2000, PackedG: 2200} }, "packed weight 2.20 kg is more than the 2.00 kg"},
		{"PEA 1", func(t *Tasting) { t.Weights.PackedG = -1 }, "packed weight is -1 g"},
		{"PEA 1", func(t *Tasting) { t.Weights.BeforeWashG = 1e9 }, "weight before the wash is 1000000.00 kg"},
		{"PEA 1", func(t *Tasting) { *t = Tasting{By: "R"} }, "nothing was judged"},
		{"PEA 2", func(*Tasting) {}, "humidity 140 %: give 0 to 100 %"},
	} {
		tasting := Tasting{By: "R", Wetness: 3}
		c.change(&tasting)
		got, err := Bind(tasting, c.batch, humid)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v, want %s", err, c.want)
		}
		if !reflect.DeepEqual(got, tasting) {
			t.Errorf("%s: the tasting was changed", c.want)
		}
	}
	weighed, err := Bind(Tasting{Weights: Weights{BeforeWashG: 2000, AfterSpinG: 2100}}, "PEA 1", ran)
	if err != nil || weighed.Ran.Batch != "PEA 1" {
		t.Errorf("weights alone: %v", err)
	}
}

func TestTastingAsJSON(t *testing.T) {
	want, err := Bind(Tasting{By: "R", Wetness: 3, Weights: Weights{BeforeWashG: 2000, AfterSpinG: 2100}}, "PEA 1", someRan())
	if err != nil {
		t.Fatal(err)
	}
	js, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	var got Tasting
	if err := json.Unmarshal(js, &got); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("came back as %+v, %v", got, err)
	}
	pea, _ := Starters().Current("pea")
	var back Recipe
	if js, err = json.Marshal(pea); err == nil {
		err = json.Unmarshal(js, &back)
	}
	if err != nil || !reflect.DeepEqual(back, pea) {
		t.Errorf("a recipe came back as %+v, %v", back, err)
	}
}
