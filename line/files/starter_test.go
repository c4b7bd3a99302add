package files

import (
	"context"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
	"shedbell/power"
	"shedbell/recipes"
	"shedbell/recipes/strictfile"
)

func TestExamplesAreTheStarters(t *testing.T) {
	for name, embedded := range map[string][]byte{"starter_line.toml": starterLine, "starter_day.toml": starterDay} {
		example, err := os.ReadFile("../../testdata/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if string(example) != string(embedded) {
			t.Errorf("testdata/%s is not the file that comes with the program; copy line/files/%s over it", name, name)
		}
	}
}

// The loads, circuits and rates of the starter shed: common practice, no source.
func TestStarterShed(t *testing.T) {
	site := Starter()
	twenties := 0
	for _, c := range site.Panel.Circuits {
		if c.RatingA == 20 {
			twenties++
		}
	}
	if twenties < 2 || site.Panel.VoltageV != 120 {
		t.Errorf("%d circuits of 20 A at %g V, want two or more at 120", twenties, site.Panel.VoltageV)
	}
	for _, name := range []string{"pressure-washer", "tub-blower", "spinner", "rack-fans", "fridge", "drain-pump", "lights"} {
		if _, ok := site.Panel.LoadByName(name); !ok {
			t.Errorf("no load %s", name)
		}
	}
	washer := load(t, site, "pressure-washer")
	if washer.WorstA() != 14 || !washer.Alone || washer.StartingA != 60 || washer.StartingTime != 600*time.Millisecond {
		t.Errorf("pressure washer %+v", washer)
	}
	want := []power.Setting{{Name: "low", AmpsA: 1.6}, {Name: "medium", AmpsA: 2.8}, {Name: "high", AmpsA: 4.2}}
	if fans := load(t, site, "rack-fans"); !slices.Equal(fans.Settings, want) {
		t.Errorf("fans %v, want %v in the order of the file", fans.Settings, want)
	}
	if fridge := load(t, site, "fridge"); !fridge.Cycles || !fridge.StaysOn {
		t.Errorf("fridge %+v", fridge)
	}
	if pump := load(t, site, "drain-pump"); !pump.SelfOff {
		t.Errorf("drain pump %+v", pump)
	}
	for _, k := range line.Kinds() {
		if len(site.StationsOf(k)) == 0 {
			t.Errorf("no %s station", k)
		}
	}
	// 18 trays an hour at the cutting table: common practice, no source.
	if cut := site.Stations[site.StationsOf(line.Cut)[0]]; cut.PerTray != time.Hour/18 || cut.Hands != line.HandsThroughout {
		t.Errorf("cutting table %+v", cut)
	}
	if n := site.BatchTrays(); n != 4 {
		t.Errorf("batches of %d trays, want 4", n)
	}
	site.Panel.Loads[0].Name = "changed"
	if Starter().Panel.Loads[0].Name == "changed" {
		t.Error("the starter is shared, not a copy")
	}
}

func load(t *testing.T, site *line.Site, name string) *power.Load {
	t.Helper()
	i, ok := site.Panel.LoadByName(name)
	if !ok {
		t.Fatalf("no load %s", name)
	}
	return &site.Panel.Loads[i]
}

func TestStarterDay(t *testing.T) {
	start := time.Date(2026, 6, 1, 22, 15, 0, 0, time.FixedZone("", 2*3600))
	sheet := StarterDay(start)
	crops := map[string]bool{}
	dues := 0
	for _, c := range sheet.Crops {
		crops[c.Crop] = true
		if !c.Due.IsZero() {
			dues++
			if got := c.Due.Sub(start); got != 4*time.Hour {
				t.Errorf("%s is due %v after the start, in the file it is 4h", c.Crop, got)
			}
		}
	}
	if sheet.Trays() < 18 || len(crops) < 4 || dues != 1 || len(sheet.Apart) != 1 {
		t.Errorf("%d trays of %d crops, %d due, %d apart", sheet.Trays(), len(crops), dues, len(sheet.Apart))
	}
	if sheet.Date != "2026-06-01" || !sheet.Start.Equal(start) {
		t.Errorf("the day is %s from %v", sheet.Date, sheet.Start)
	}
}

// The starter day must play to its end on the starter line, the customer's crop
// in the cold before its due time.
func TestStarterDayCanBeDone(t *testing.T) {
	start := time.Date(2026, 12, 3, 7, 30, 0, 0, time.UTC)
	s, _, no := line.Do(line.NewState(Starter(), recipes.Starters()), line.OpenDay{Sheet: *StarterDay(start)}, start, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	res, err := rehearse.Run(context.Background(), s, start, rehearse.Options{Seed: 7, Delays: rehearse.Typical})
	if err != nil {
		t.Fatal(err)
	}
	for i := range res.Final.Batches {
		b := &res.Final.Batches[i]
		if b.Fate != line.Cold {
			t.Errorf("%s is not in the cold", b.Name())
		}
		if !b.Due.IsZero() && b.ColdAt.After(b.Due) {
			t.Errorf("%s was cold at %v, due %v", b.Name(), b.ColdAt, b.Due)
		}
	}
	t.Logf("greens cold at %s, day done at %s, hands busy %.0f %%, refusals %d",
		res.Greens.Format(time.TimeOnly), res.Finish.Format(time.TimeOnly), 100*res.HandsBusy, len(res.Refusals))
	for i, peak := range res.PeakA {
		if c := res.Final.Site.Panel.Circuits[i]; peak > c.RatingA {
			t.Errorf("%s carried %g A", c.Name, peak)
		}
	}
}

func TestRoundTrip(t *testing.T) {
	site := Starter()
	site.Panel.Supply = power.Split240
	site.Panel.Feeders = []power.Feeder{{Name: `the "old" barn \ feeder`, RatingA: 60}}
	site.Panel.Circuits[0].Feeder, site.Panel.Circuits[0].Leg = site.Panel.Feeders[0].Name, power.LegB
	text := writeLine(site)
	again, faults := ReadLine("again.toml", text)
	if len(faults) > 0 || !reflect.DeepEqual(again, site) {
		t.Errorf("the line changed: %v\n%s", strictfile.Join(faults), text)
	}

	loc := time.FixedZone("shed", -5*3600)
	sheet := StarterDay(time.Date(2026, 12, 3, 22, 0, 0, 0, loc)) // what is due is due after midnight
	sheet.Sow = []line.SowItem{{Crop: "red cabbage", Trays: 3}}
	day := writeDay(sheet)
	if !strings.Contains(string(day), "due = 2026-12-04T02:00:00") {
		t.Errorf("no date for what is due after midnight:\n%s", day)
	}
	read, faults := ReadDay(loc, "again.toml", day, site, recipes.Starters())
	if len(faults) > 0 || !reflect.DeepEqual(read, sheet) {
		t.Errorf("the day changed: %v\n%s", strictfile.Join(faults), day)
	}
}
