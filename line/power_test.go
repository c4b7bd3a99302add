package line_test

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
)

// washerBesideFan is one 15 A circuit with a washer of 14 A and a rack fan of 2 A.
// 14 A for a washer alone on its circuit: common practice, no source.
func washerBesideFan(t *testing.T) *shed {
	site := linetest.Site()
	site.Panel = power.Panel{
		VoltageV: 120,
		Circuits: []power.Circuit{{Name: "tub, rack", RatingA: 15}},
		Loads: []power.Load{
			{Name: "washer", Settings: []power.Setting{{Name: "on", AmpsA: 14}}},
			{Name: "fan", Settings: []power.Setting{{Name: "low", AmpsA: 0.8}, {Name: "medium", AmpsA: 2}, {Name: "high", AmpsA: 3}}},
		},
	}
	const washer, fan = 0, 1
	for i := range site.Stations {
		site.Stations[i].Load, site.Stations[i].DrainLoad = line.NoLoad, line.NoLoad
	}
	site.Stations[linetest.TrayWash].Load = washer
	site.Stations[linetest.Rack].Load = fan
	s, _, no := line.Do(line.NewState(site, linetest.Book()), line.OpenDay{Sheet: linetest.Sheet()}, linetest.Morning, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	return &shed{t: t, s: s, now: linetest.Morning}
}

// Check value: 14 A on a 15 A circuit beside a 2 A fan (common practice, no source).
func TestFourteenAmpsOnFifteenBesideAFan(t *testing.T) {
	sh := washerBesideFan(t)
	sh.dry(1) // pea: 18 minutes at medium, which draws 2 A
	end := sh.now.Add(18 * time.Minute)
	wash := line.StartChore{Kind: line.WashTrays, To: line.Anywhere}

	no := sh.refused(wash, "rating")
	for part, want := range map[string]string{
		"circuit": `"tub, rack"`, "amps now": "2.0 A now", "amps after": "16.0", "limit": "15 A",
		"what to switch off": "witch off fan", "earliest": "wait until " + end.Format("15:04"),
	} {
		if !strings.Contains(no.Error(), want) {
			t.Errorf("the refusal does not say the %s (%q): %s", part, want, no.Error())
		}
	}
	v := no.Verdict
	if v == nil || v.Circuit != "tub, rack" || v.AmpsNow != 2 || v.AmpsAfter != 16 || v.LimitA != 15 ||
		len(v.SwitchOff) != 1 || v.SwitchOff[0] != 1 || !v.Earliest.Equal(end) || v.Reasons[0].Rule != power.RuleRating {
		t.Errorf("verdict %+v", v)
	}

	sh.now = end.Add(time.Minute) // zero on the countdown is not off
	no = sh.refused(wash, "rating")
	if !strings.Contains(no.Error(), "onfirm that fan is off") || len(no.Verdict.Confirm) != 1 {
		t.Errorf("the refusal does not ask to confirm the fan off: %s", no.Error())
	}
	sh.do(line.Finish{At: at(linetest.Rack, 0)})
	sh.do(wash)
	if !sh.s.Power.Loads[0].On {
		t.Error("the washer is not on")
	}
	if a := carried(sh.s, 0, sh.now); a != 14 {
		t.Errorf("the circuit carries %.1f A, want 14", a)
	}
}

// dry brings a batch onto the rack without time passing there.
func (sh *shed) dry(batch int) {
	sh.t.Helper()
	for range 4 { // cut, wash, spin, dry
		sh.pass(5 * time.Minute)
		sh.do(line.Advance{Batch: batch, To: line.Anywhere})
	}
}

func TestAloneRefusalSaysAmps(t *testing.T) {
	sh := openShed(t)
	sh.dry(1)
	no := sh.refused(line.StartChore{Kind: line.WashTrays, To: line.Anywhere}, power.RuleAlone)
	for _, want := range []string{`"wet wall"`, "0.0 A now", "14.0 of 20 A", "rack fans"} {
		if !strings.Contains(no.Error(), want) {
			t.Errorf("no %q in %q", want, no.Error())
		}
	}
}

func TestBankSettingRescalesWhatDries(t *testing.T) {
	sh := openShed(t)
	sh.dry(1) // pea, 18 minutes at medium
	sh.pass(8 * time.Minute)
	sh.do(line.SwitchOn{Load: linetest.Fans, Setting: 2})
	// High takes 0.8 of the time of medium (recipes, common practice, no source):
	// 10 minutes left become 8.
	step := sh.s.Batch(1).Step
	if left := step.Left(sh.now); left != 8*time.Minute || step.Setting != 2 {
		t.Errorf("left %s at setting %d, want 8m at 2", left, step.Setting)
	}
	if until := sh.s.Power.Loads[linetest.Fans].Until; !until.Equal(sh.now.Add(8 * time.Minute)) {
		t.Errorf("the fans run until %s", until)
	}
	sh.do(line.Hold{At: at(linetest.Rack, 0)})
	if sh.s.Power.Loads[linetest.Fans].On {
		t.Error("the fans are on while their only step is held")
	}
	sh.do(line.Undo{})
	sh.do(line.Undo{})
	if step := sh.s.Batch(1).Step; step.Left(sh.now) != 10*time.Minute || step.Setting != 1 {
		t.Errorf("after undo %+v", step)
	}
}

func TestTripHoldsAndResetBringsBackWhatStaysOn(t *testing.T) {
	sh := openShed(t)
	sh.dry(1)
	sh.pass(5 * time.Minute)
	wet := sh.s.Batch(1).WetSoFar
	sh.do(line.MarkTripped{Circuit: 1})
	b := sh.s.Batch(1)
	if b.Step.Progress != line.Held || !b.WetSince.Equal(sh.now) || sh.s.Power.Loads[linetest.Fans].On {
		t.Fatalf("after the trip %+v", b)
	}
	sh.refused(line.MarkTripped{Circuit: 1}, line.RuleNothing)
	no := sh.refused(line.Resume{At: at(linetest.Rack, 0)}, power.RuleTripped)
	if !strings.Contains(no.Error(), "cold wall") || no.Verdict == nil {
		t.Errorf("refusal %+v", no)
	}
	sh.pass(4 * time.Minute)
	sh.do(line.ResetBreaker{Circuit: 1})
	if !sh.s.Power.Loads[linetest.Fridge].On {
		t.Error("the fridge did not come back with its breaker")
	}
	sh.do(line.Resume{At: at(linetest.Rack, 0)})
	b = sh.s.Batch(1)
	if b.Step.Left(sh.now) != 13*time.Minute || b.WetSoFar != wet+4*time.Minute || !b.WetSince.IsZero() {
		t.Errorf("after the reset %+v", b)
	}
}

// A machine that has switched itself off starts again when its step gets more
// time, so the interlock is asked.
func TestMoreTimeForASelfOffMachineAsksTheInterlock(t *testing.T) {
	sh := openShed(t)
	site := *sh.s.Site
	site.Panel = linetest.Panel()
	site.Panel.Loads[linetest.Spinner].SelfOff = true
	site.Panel.Circuits[0].RatingA = 15
	s := line.NewState(&site, linetest.Book())
	sh.s = s
	sh.do(line.OpenDay{Sheet: linetest.Sheet()})
	for range 3 {
		sh.pass(5 * time.Minute)
		sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	}
	sh.pass(4 * time.Minute)
	sh.do(line.SwitchOn{Load: linetest.Blower}) // 5.8 A
	sh.do(line.SwitchOn{Load: linetest.Drain})  // 4 A; with the spinner's 7 A more than 15 A
	spin := at(linetest.Spin, 0)
	sh.refused(line.Adjust{At: spin, By: 5 * time.Minute}, power.RuleRating)
	sh.do(line.SwitchOff{Load: linetest.Drain})
	sh.pass(time.Minute)
	sh.do(line.Adjust{At: spin, By: 5 * time.Minute})
	if a := carried(sh.s, 0, sh.now); math.Abs(a-12.8) > 1e-9 {
		t.Errorf("%.1f A, want 12.8", a)
	}
}

func TestAbsurdValues(t *testing.T) {
	sh := openShed(t)
	sh.dry(1)
	sh.pass(18 * time.Minute)
	sh.do(line.Advance{Batch: 1, To: line.Anywhere})
	pack := at(linetest.Pack, 0)
	for _, net := range []float64{math.NaN(), math.Inf(1), -1, 2e6} {
		sh.refused(line.Finish{At: pack, Packages: 1, NetG: net}, line.RuleValue)
	}
	sh.refused(line.AddTrays{Demand: line.Demand{Crop: "pea", Trays: math.MaxInt}}, line.RuleValue)
	sh.refused(line.AddTrays{Demand: line.Demand{Crop: "pea", Trays: 1, Due: time.Date(12026, 1, 1, 0, 0, 0, 0, time.UTC)}}, line.RuleValue)
	sh.refused(line.StartChore{Kind: 99, To: line.Anywhere}, line.RuleUnknown)
	sh.refused(line.SetCrew{Names: []string{" "}}, line.RuleValue)
	r, _ := sh.s.Recipe("pea")
	r.PackageG = math.NaN()
	sh.refused(line.Revise{Recipe: r}, line.RuleValue)
	site := *linetest.Site()
	site.Stations = append([]line.Station(nil), site.Stations...)
	site.Stations[0].Load = 70
	if site.Check() == nil {
		t.Error("a station on a load that is not there was accepted")
	}
}

// A trip is kept with what was on, for how long, and what the model held; a
// journal from before knows as much by replaying.
func TestTripIsKeptWithWhatWasOn(t *testing.T) {
	sh := openShed(t)
	sh.do(line.SwitchOn{Load: linetest.Blower}) // 5.8 A
	sh.pass(10 * time.Minute)
	sh.do(line.SwitchOn{Load: linetest.Spinner}) // 7 A, 30 A for the first second
	before := sh.s
	sh.now = sh.now.Add(500 * time.Millisecond)
	s, records, no := line.Do(sh.s, line.MarkTripped{Circuit: 0}, sh.now, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	e, ok := records[0].Event.(line.BreakerTripped)
	if !ok || e.Found == nil {
		t.Fatalf("event %+v", records[0].Event)
	}
	want := []line.TripLoad{
		{Load: linetest.Blower, AmpsA: 5.8, For: 10*time.Minute + 500*time.Millisecond},
		{Load: linetest.Spinner, AmpsA: 7, For: 500 * time.Millisecond, Starting: true},
	}
	if !slices.Equal(e.Found.On, want) {
		t.Errorf("on were %+v, want %+v", e.Found.On, want)
	}
	if f := e.Found; math.Abs(f.AmpsA-12.8) > 1e-9 || math.Abs(f.PeakA-35.8) > 1e-9 || f.LimitA != 20 || f.Heat <= 0 || f.Heat >= 1 {
		t.Errorf("found %+v, want 12.8 A, 35.8 A at the peak, limit 20 A, warm", f)
	}
	name, data, err := line.EncodeEvent(e)
	if err != nil {
		t.Fatal(err)
	}
	back, err := line.DecodeEvent(name, data)
	if err != nil {
		t.Fatal(err)
	}
	kept := back.(line.BreakerTripped)
	older, err := line.DecodeEvent(name, []byte(`{"Circuit":0}`))
	if err != nil {
		t.Fatal(err)
	}
	bare := older.(line.BreakerTripped)
	if x, y := kept.Trip(before, sh.now), bare.Trip(before, sh.now); !reflect.DeepEqual(x, y) {
		t.Errorf("kept %+v\nreplayed %+v", x, y)
	}
	if s.Power.Loads[linetest.Blower].On || s.Power.Loads[linetest.Spinner].On {
		t.Error("something on the circuit is still on")
	}
}
