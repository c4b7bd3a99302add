package files

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/recipes"
	"shedbell/recipes/strictfile"
	"shedbell/recipes/strictfile/fuzztest"
)

// seeds are the starter and every bad file of one kind.
func seeds(f *testing.F, pattern string, starter []byte) {
	f.Add(starter)
	names, err := filepath.Glob("../../testdata/" + pattern)
	if err != nil || len(names) == 0 {
		f.Fatalf("no seeds: %v", err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
}

// faultsHold checks that faults lie in the file and can be shown on a terminal.
func faultsHold(t *testing.T, data []byte, faults []strictfile.Fault) {
	t.Helper()
	lines := strings.Count(string(data), "\n") + 1
	for _, fault := range faults {
		if fault.Line < 0 || fault.Line > lines || (fault.Line > 0 && fault.Column < 1) || fault.Mend.IsZero() {
			t.Errorf("no place or no way out: %+v", fault)
		}
		if strings.ContainsFunc(fault.Error(), strictfile.IsControl) {
			t.Errorf("control character in %q", fault.Error())
		}
	}
}

// Whatever the bytes: no panic, and either faults or a site that the interlock
// accepts, whose indexes are all good, and that can be written and read again.
func FuzzReadLine(f *testing.F) {
	seeds(f, "*line*.toml", writeLine(Starter()))
	f.Fuzz(func(t *testing.T, data []byte) {
		defer fuzztest.Bound(t)()
		site, faults := ReadLine("x.toml", data)
		faultsHold(t, data, faults)
		if len(faults) > 0 {
			if site != nil {
				t.Error("a site beside faults")
			}
			return
		}
		if bad := site.Panel.Validate(); len(bad) > 0 {
			t.Errorf("the interlock cannot use it: %v", bad)
		}
		for i := range site.Panel.Loads {
			if c := site.Panel.Loads[i].Circuit; c < 0 || c >= len(site.Panel.Circuits) || site.Panel.Loads[i].WorstA() <= 0 {
				t.Errorf("load %+v", site.Panel.Loads[i])
			}
		}
		for _, k := range line.Kinds() {
			if len(site.StationsOf(k)) == 0 {
				t.Errorf("no %s station", k)
			}
		}
		for i := range site.Stations {
			st := &site.Stations[i]
			if st.Load < line.NoLoad || st.Load >= len(site.Panel.Loads) || st.DrainLoad >= len(site.Panel.Loads) || st.Slots < 1 {
				t.Errorf("station %+v", st)
			}
		}
		text := writeLine(site)
		again, faults := ReadLine("y.toml", text)
		if len(faults) > 0 || !reflect.DeepEqual(again, site) {
			t.Errorf("does not read back: %v\n%s", strictfile.Join(faults), text)
		}
	})
}

// Whatever the bytes: no panic, and either faults or a sheet that the line opens a
// day with, and that can be written and read again.
func FuzzReadDay(f *testing.F) {
	seeds(f, "*day*.toml", writeDay(StarterDay(time.Date(2026, 12, 3, 7, 30, 0, 0, time.UTC))))
	site, book := Starter(), recipes.Starters()
	loc := time.FixedZone("shed", -5*3600)
	f.Fuzz(func(t *testing.T, data []byte) {
		defer fuzztest.Bound(t)()
		sheet, faults := ReadDay(loc, "x.toml", data, site, book)
		faultsHold(t, data, faults)
		if len(faults) > 0 {
			if sheet != nil {
				t.Error("a sheet beside faults")
			}
			return
		}
		if _, no := line.Decide(line.NewState(site, book), line.OpenDay{Sheet: *sheet}, sheet.Start); no != nil {
			t.Errorf("the line does not open this day: %v", no)
		}
		text := writeDay(sheet)
		again, faults := ReadDay(loc, "y.toml", text, site, book)
		if len(faults) > 0 || !reflect.DeepEqual(again, sheet) {
			t.Errorf("does not read back: %v\n%s", strictfile.Join(faults), text)
		}
	})
}
