package files

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the clock change must not depend on the machine

	"shedbell/line"
	"shedbell/power"
	"shedbell/recipes"
	"shedbell/recipes/strictfile"
)

// change returns the starter line with one piece of text replaced.
func change(t *testing.T, text []byte, old, with string) []byte {
	t.Helper()
	if strings.Count(string(text), old) != 1 {
		t.Fatalf("%q is there %d times", old, strings.Count(string(text), old))
	}
	return []byte(strings.Replace(string(text), old, with, 1))
}

func TestReadLineFillsWhatIsLeftOut(t *testing.T) {
	text := change(t, starterLine, "settings = { low = 1.6, medium = 2.8, high = 4.2 }", "amps = 3")
	site, faults := ReadLine("x.toml", text)
	if len(faults) > 0 {
		t.Fatal(strictfile.Join(faults))
	}
	tub, rack := site.Stations[site.StationsOf(line.Wash)[0]], site.Stations[site.StationsOf(line.Dry)[0]]
	if tub.Slots != 1 || tub.Setting != "" {
		t.Errorf("tub %+v", tub)
	}
	// Fans that only run one way cannot follow the recipe's setting.
	if rack.Setting != "on" {
		t.Errorf("rack is set to %q", rack.Setting)
	}
	if sow := site.Stations[site.StationsOf(line.Sow)[0]]; sow.Load != line.NoLoad || sow.DrainLoad != line.NoLoad {
		t.Errorf("sowing bench %+v", sow)
	}
}

func TestReadLineSettingsKeepTheirOrder(t *testing.T) {
	text := change(t, starterLine, "settings = { low = 1.6, medium = 2.8, high = 4.2 }", `settings = { "extra high" = 5, low = 1.6 }`)
	site, faults := ReadLine("x.toml", text)
	if len(faults) > 0 {
		t.Fatal(strictfile.Join(faults))
	}
	want := []power.Setting{{Name: "extra high", AmpsA: 5}, {Name: "low", AmpsA: 1.6}}
	for range 50 { // a map in between must not shuffle them
		site, _ := ReadLine("x.toml", text)
		if got := load(t, site, "rack-fans").Settings; !reflect.DeepEqual(got, want) {
			t.Fatalf("settings %v, want the order of the file, %v", got, want)
		}
	}
	day := []byte("date = 2026-12-03\nstart = 07:30\n[[crop]]\nname = \"pea\"\ntrays = 4\n")
	_, faults = ReadDay(time.Local, "d.toml", day, site, recipes.Starters())
	checkFaults(t, "d.toml", faults, []string{`4:8: name = "pea": its recipe dries with the fans on "medium", which rack-fans doesn't have; ` +
		"change the recipe's fan setting, or the settings in the line file"})
}

// The mark @ says where in the changed text the fault stands; it is not part of
// the file.
func TestReadLineOneChange(t *testing.T) {
	fans := "settings = { low = 1.6, medium = 2.8, high = 4.2 }"
	for _, tc := range []struct{ old, with, want string }{
		{`crew = ["Ash", "Rowan"]`, `crew = ["Ash", @""]`, `crew[1] = "": empty; give it a name`},
		{`starting = "0.6s"`, `starting = @"31s"`, `starting = "31s": out of range; give "0.1s" to "30s"`},
		{"[[load]]\nname = \"pressure-washer\"\ncircuit = \"wet wall\"\namps = 14\nstarting_a = 60\n",
			"[[@load]]\nname = \"pressure-washer\"\ncircuit = \"wet wall\"\namps = 14\n",
			`starting_a: starting without its amps; add starting_a = 30, or remove starting`},
		{`contact = "10m"`, `contact = @"5h"`, `contact = "5h": out of range; give "1s" to "4h"`},
		{fans, "settings = @{}", `settings = {...}: empty; write it like { low = 1.6, high = 4.2 }`},
		{fans, `settings = { "lo:w" = @1 }`, `"lo:w" = 1: not a name for a setting; write one word, like low`},
		{"amps = 7\n", "amps = 7@,5\n", `not readable: amps = 7,5`},
		{"[[station]]\nname = \"cutting table\"", "[@station]\nname = \"cutting table\"",
			`station: is a table; write [[station]] with two brackets for each one`},
	} {
		text := change(t, starterLine, tc.old, tc.with)
		before, after, _ := strings.Cut(string(text), "@")
		at := strings.LastIndexByte(before, '\n')
		want := fmt.Sprintf("x.toml:%d:%d: %s", strings.Count(before, "\n")+1, len(before)-at, tc.want)
		_, faults := ReadLine("x.toml", []byte(before+after))
		found := false
		for _, f := range faults {
			found = found || strings.HasPrefix(f.Error(), want)
		}
		if !found {
			t.Errorf("got  %v\nwant %s", strictfile.Join(faults), want)
		}
	}
}

// A decimal comma is one mistake and must not be called a missing key as well.
func TestUnreadableLineIsBlamedOnce(t *testing.T) {
	text := change(t, starterLine, "amps = 7\n", "amps = 7,5\n")
	text = change(t, text, "starting = \"1s\"\n", "starting = 1s\n")
	_, faults := ReadLine("x.toml", text)
	if len(faults) != 2 || faults[0].Key != "" || faults[1].Key != "" {
		t.Errorf("%d faults, want the two lines:\n%v", len(faults), strictfile.Join(faults))
	}
}

func TestReadDay(t *testing.T) {
	loc := time.FixedZone("shed", -5*3600)
	text := "date = 2026-12-03\nstart = 07:30\ncrew = [\"Ash\"]\napart = [[\"radish\", \"basil\"]]\n" +
		"[[crop]]\nname = \"pea\"\ntrays = 6\ndue = 11:00:00\n[[crop]]\nname = \"pea\"\ntrays = 2\n[[sow]]\ncrop = \"kale\"\ntrays = 5\n"
	sheet, faults := ReadDay(loc, "d.toml", []byte(text), nil, recipes.Starters())
	if len(faults) > 0 {
		t.Fatal(strictfile.Join(faults))
	}
	want := &line.Sheet{
		Date: "2026-12-03", Start: time.Date(2026, 12, 3, 7, 30, 0, 0, loc), Crew: []string{"Ash"},
		Crops: []line.Demand{{Crop: "pea", Trays: 6, Due: time.Date(2026, 12, 3, 11, 0, 0, 0, loc)}, {Crop: "pea", Trays: 2}},
		Apart: [][2]string{{"radish", "basil"}},
		Sow:   []line.SowItem{{Crop: "kale", Trays: 5}},
	}
	if !reflect.DeepEqual(sheet, want) {
		t.Errorf("got  %+v\nwant %+v", sheet, want)
	}
}

// Calendar: ISO 8601 (Gregorian leap years). Clock change: United States, Energy
// Policy Act of 2005, second Sunday in March at 2 a.m.
func TestDatesAndClockChange(t *testing.T) {
	newYork, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	const crop = "\n[[crop]]\nname = \"pea\"\ntrays = 4\n"
	for _, tc := range []struct{ date, start, want string }{
		{"2028-02-29", "07:30:00", ""},
		{"2100-02-29", "07:30:00", "1:8: date = 2100-02-29: there's no such date"},
		{"2026-13-01", "07:30:00", "1:8: date = 2026-13-01: there's no such date"},
		{"\"3 December\"", "07:30:00", "1:8: date = \"3 December\": not a date"},
		{"1926-12-03", "07:30:00", "1:8: date = 1926-12-03: out of range"},
		{"2026-03-08", "03:00:00", ""},
		{"2026-03-08", "02:30:00", "2:9: start = 02:30:00: the clocks jump over this time on that day"},
	} {
		text := fmt.Sprintf("date = %s\nstart = %s%s", tc.date, tc.start, crop)
		sheet, faults := ReadDay(newYork, "d.toml", []byte(text), Starter(), recipes.Starters())
		switch {
		case tc.want == "" && (len(faults) > 0 || sheet == nil):
			t.Errorf("%s %s: %v", tc.date, tc.start, strictfile.Join(faults))
		case tc.want != "" && (len(faults) != 1 || !strings.HasPrefix(faults[0].Error(), "d.toml:"+tc.want)):
			t.Errorf("got  %v\nwant d.toml:%s", strictfile.Join(faults), tc.want)
		}
	}
}

func TestTooMuch(t *testing.T) {
	_, faults := ReadLine("x.toml", make([]byte, strictfile.MaxBytes+1))
	if len(faults) != 1 || faults[0].Line != 0 {
		t.Errorf("a file that is too large: %v", strictfile.Join(faults))
	}
	_, faults = ReadLine("x.toml", []byte(strings.Repeat("[[circuit]]\nname = \"x\"\nbreaker_a = 20\n", mostCircuits+1)+string(starterLine)))
	if !strings.Contains(strictfile.Join(faults).Error(), "x.toml:1:3: circuit: 104 is too many; give at most 100") {
		t.Errorf("too many circuits: %v", strictfile.Join(faults))
	}
	_, faults = ReadDay(time.UTC, "x.toml", []byte("date = 2026-12-03\nstart = 07:30:00\n"+
		strings.Repeat("[[crop]]\nname = \"x\"\ntrays = -1\n", mostLines)), nil, recipes.Starters())
	if len(faults) != strictfile.MaxFaults+1 || !strings.Contains(faults[strictfile.MaxFaults].Problem.String(), "more faults are not listed") {
		t.Errorf("%d faults, want %d and a count of the rest", len(faults), strictfile.MaxFaults)
	}
}

func TestNearest(t *testing.T) {
	known := []string{"wash", "tray-wash", "pea", "sunflower", "no"}
	for name, want := range map[string]string{
		"wahs": "wash", "WASH": "wash", "tray wash": "tray-wash", "sunflour": "sunflower", "pee": "pea",
		"na": "", "x": "", "": "", "gravel": "", "beef": "",
	} {
		if got := nearest(name, known); got != want {
			t.Errorf("%q is taken for %q, want %q", name, got, want)
		}
	}
}
