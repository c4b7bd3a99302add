package recipes

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"shedbell/recipes/strictfile"
	"shedbell/recipes/strictfile/fuzztest"
)

func TestStarters(t *testing.T) {
	book := Starters()
	if n := len(book.Crops()); n < 10 {
		t.Fatalf("%d starters, want at least 10", n)
	}
	for _, crop := range book.Crops() {
		r, _ := book.Current(crop)
		if faults := r.Validate(); len(faults) > 0 {
			t.Errorf("%s: %v", crop, strictfile.Join(faults))
		}
		if r.Why != "starting point: taste and adjust" || r.Revision != 1 {
			t.Errorf("%s is not marked as a starting point: %q revision %d", crop, r.Why, r.Revision)
		}
	}
	for _, crop := range []string{"pea", "sunflower", "radish", "broccoli", "arugula", "kale", "mustard", "beet", "amaranth", "cilantro", "basil"} {
		if _, ok := book.Current(crop); !ok {
			t.Errorf("no starter for %s", crop)
		}
	}
	pea, _ := book.Current("pea")
	pea.Dry = time.Hour
	book.With(pea)
	again, _ := Starters().Current("pea")
	if again.Dry == time.Hour {
		t.Error("a change reached the starters")
	}
}

func TestWriteReadsBack(t *testing.T) {
	book := Starters()
	pea, _ := book.Current("pea")
	pea.Spin, pea.By, pea.Why = 3*time.Minute+30*time.Second, "Rosa \"R\"", "too dry\\bruised, 5 batches"
	pea.At = time.Date(2026, 3, 14, 16, 5, 0, 0, time.FixedZone("", 3600))
	pea.Batches = []string{"PEA 1", "PEA 2"}
	pea.Reference.PressurePa = 95461
	pea.Rinse, pea.SanitizerContact = 90*time.Second, time.Minute
	book = book.With(pea)
	text, err := Write(book)
	if err != nil {
		t.Fatal(err)
	}
	all, faults := Read("out.toml", text)
	if len(faults) > 0 {
		t.Fatalf("%v\n%s", strictfile.Join(faults), text)
	}
	for i := range all {
		want := book.revisions[i]
		if !all[i].At.Equal(want.At) {
			t.Errorf("%s: time %v, want %v", want.Crop, all[i].At, want.At)
		}
		all[i].At = want.At
		if !reflect.DeepEqual(all[i], want) {
			t.Errorf("came back as\n%+v, want\n%+v", all[i], want)
		}
	}
	var again Book
	js, err := json.Marshal(book)
	if err == nil {
		err = json.Unmarshal(js, &again)
	}
	if err != nil || len(again.revisions) != len(book.revisions) || again.revisions[len(all)-1].Spin != pea.Spin {
		t.Errorf("a book does not come back from JSON: %v", err)
	}
}

const small = `[[recipe]]
crop = "pea"
batch_trays = 4
soak = "3m"
spin = "4m"
dry = "22m"
fan = "medium"
yield_g_per_tray = 400
package_g = 125
seed_g_per_tray = 225
days_to_harvest = 12
`

func TestReadFillsBounds(t *testing.T) {
	all, faults := Read("x.toml", []byte(small))
	if len(faults) > 0 {
		t.Fatal(strictfile.Join(faults))
	}
	r := all[0]
	got := fmt.Sprint(r.MinSoak, r.MaxSoak, r.MinSpin, r.MaxSpin, r.SpinRamp, r.MinDry, r.MaxDry, r.Reference, r.WashTime())
	if want := "1m30s 6m0s 2m0s 8m0s 20s 11m0s 44m0s 20 °C, 50 % humidity 3m0s"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestReadFaults(t *testing.T) {
	change := func(old, with string) string { return strings.Replace(small, old, with, 1) }
	for _, c := range []struct{ text, want string }{
		{change(`soak = "3m"`, `soak = 3`), `x.toml:4:8: soak = 3: a number without a unit; write "4m" for minutes or "90s" for seconds`},
		{change(`batch_trays = 4`, `batch_trays = -3`), `x.toml:3:15: batch_trays = -3: negative; give 1 to 50 trays`},
		{change(`"medium"`, `"turbo"`), `x.toml:7:7: fan = "turbo": not a fan setting; write "low", "medium" or "high"`},
		{change(`"pea"`, `"pea\nradish"`), `x.toml:2:8: crop = "pea\nradish": has the control character U+000A; write one line of plain text`},
		{change(`"22m"`, `"20h"`), `x.toml:6:7: dry = "20h": out of range; give 1m to 6h`},
		{change(`spin = "4m"`, `min_spin = "5m"`+"\n"+`spin = "4m"`), `x.toml:5:12: min_spin = "5m": out of range; give 20s to 4m`},
		{change(`soak = "3m"`, `soak = "1m"`+"\n"+`sanitizer_contact = "2m"`), `x.toml:4:8: soak = "1m": shorter than the sanitizer's contact time; give 2m or more`},
		{change(`dry = "22m"`, ""), `x.toml:1:3: dry: missing; add dry = "20m"`},
		{small + small, `x.toml:13:8: crop = "pea": there twice; give the newer one revision = 2, or remove it`},
		{small + strings.Replace(small, `"pea"`, `"Pea"`, 1), `x.toml:13:8: crop = "Pea": spelled in two ways; write "pea"`},
		{small + small + "revision = 1\n", `x.toml:23:12: revision = 1: not newer than the one before; give 2`},
		{small + "reference_pa = 1013\n", `x.toml:12:16: reference_pa = 1013: out of range; give 60000 to 110000 Pa`},
		{"", `x.toml:1:1: recipe: missing; start each recipe with [[recipe]]`},
	} {
		all, faults := Read("x.toml", []byte(c.text))
		if len(all) > 0 {
			t.Errorf("%s: recipes were returned with a fault", c.want)
		}
		found := false
		for _, f := range faults {
			found = found || f.Error() == c.want
		}
		if !found {
			t.Errorf("got  %v\nwant %s", strictfile.Join(faults), c.want)
		}
	}
}

func TestDryAtIsMonotone(t *testing.T) {
	settings := []string{FanOff, FanLow, FanMedium, FanHigh}
	for _, own := range settings {
		r := Recipe{Dry: 22 * time.Minute, Fan: own}
		if got := r.DryAt(own); got != r.Dry {
			t.Errorf("%s at its own setting: %v", own, got)
		}
		for i := range settings[1:] {
			if slower, faster := r.DryAt(settings[i]), r.DryAt(settings[i+1]); faster > slower {
				t.Errorf("%s dries longer than %s: %v > %v", settings[i+1], settings[i], faster, slower)
			}
		}
		if got := r.DryAt("no such setting"); got != r.Dry {
			t.Errorf("an unknown setting changed the time to %v", got)
		}
	}
}

// Whatever the bytes: no panic, and either faults or recipes that are all valid
// and can be written and read again.
func FuzzRead(f *testing.F) {
	f.Add([]byte(small))
	f.Add(startersFile)
	f.Add([]byte(small + small + "revision = 2\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		defer fuzztest.Bound(t)()
		all, faults := Read("x.toml", data)
		if len(faults) > 0 {
			if all != nil {
				t.Error("recipes beside faults")
			}
			return
		}
		for i := range all {
			if bad := all[i].Validate(); len(bad) > 0 {
				t.Errorf("read an invalid recipe: %v", strictfile.Join(bad))
			}
		}
		text, err := Write(NewBook(all...))
		if err != nil {
			t.Fatal(err)
		}
		if _, faults := Read("y.toml", text); len(faults) > 0 {
			t.Errorf("does not read back: %v\n%s", strictfile.Join(faults), text)
		}
	})
}
