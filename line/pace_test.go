package line_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// A pin goes before what was learned, the one that names most before the others, and
// what was learned before the line file.
func TestHandTime(t *testing.T) {
	sh := openShed(t)
	learned := line.Advice{Paces: func(st *line.Station, crop, person string) (line.Pace, bool) {
		return line.Pace{Fixed: time.Minute, PerTray: 100 * time.Second}, st.Kind == line.Pack && crop != "broccoli"
	}}
	table, cut := line.Place{Station: linetest.Pack}, line.Place{Station: linetest.Cut}
	pin := func(crop, person string, per time.Duration) {
		sh.do(line.PinPace{Pin: line.PinnedPace{Station: "packing table", Crop: crop, Person: person, Pace: line.Pace{PerTray: per}}})
	}
	want := func(what string, v line.Advice, at line.Place, crop, person string, want time.Duration) {
		t.Helper()
		if got := v.HandTime(sh.s, at, crop, 4, person); got != want {
			t.Errorf("%s: %s, want %s", what, got, want)
		}
	}
	want("line file", line.Advice{}, table, "pea", "Ash", 4*90*time.Second)
	want("learned", learned, table, "pea", "Ash", time.Minute+4*100*time.Second)
	want("not learned", learned, table, "broccoli", "Ash", 4*90*time.Second)
	want("not learned", learned, cut, "pea", "Ash", 4*200*time.Second)
	want("nobody stands there", learned, line.Place{Station: linetest.Tub}, "pea", "Ash", 0)
	pin("", "", 60*time.Second)
	pin("pea", "", 70*time.Second)
	pin("", "Ash", 80*time.Second)
	want("crop's pin", learned, table, "pea", "Elm", 4*70*time.Second)
	want("person's pin", learned, table, "pea", "Ash", 4*80*time.Second)
	want("station's pin", learned, table, "broccoli", "Elm", 4*60*time.Second)
	sh.do(line.ForgetPace{Station: "packing table", Crop: "pea"})
	want("station's pin again", learned, table, "pea", "Elm", 4*60*time.Second)
	d, no := line.Decide(sh.s, line.ForgetPace{Station: "packing table", Crop: "pea"}, sh.now)
	if no != nil || len(d.Events) != 1 || d.Events[0] != (line.PaceForgotten{Station: "packing table", Crop: "pea"}) {
		t.Errorf("forgetting what is not pinned: %v, %v", d.Events, no)
	}
	sh.refused(line.PinPace{Pin: line.PinnedPace{Station: "tub", Pace: line.Pace{PerTray: time.Minute}}}, line.RuleUnknown)
	sh.refused(line.PinPace{Pin: line.PinnedPace{Station: "packing table"}}, line.RuleValue)
	sh.refused(line.ForgetPace{Station: "tub"}, line.RuleUnknown)
}

// A fan that is reported to be slow lengthens the countdown that runs, the next ones and
// the work by hand at its place, and its repair shortens them again.
func TestSlowPlace(t *testing.T) {
	sh := openShed(t)
	sh.dry(1)
	left := func() time.Duration { return sh.s.Batch(1).Step.Left(sh.now) }
	if left() != 18*time.Minute {
		t.Fatalf("pea dries %s", left())
	}
	sh.pass(8 * time.Minute)
	sh.do(line.ReportTrouble{At: line.Place{Station: linetest.Rack, Slot: line.WholeStation}, What: "fan squeals", Effect: line.EffectSlow, SlowPercent: 50})
	if left() != 15*time.Minute {
		t.Errorf("10 min are left, at half as long again: %s", left())
	}
	r, _ := sh.s.Recipe("radish")
	other := line.Place{Station: linetest.Rack, Slot: 1}
	if got := line.PlannedTime(sh.s, sh.s.Batch(2), other, &r, ""); got != 30*time.Minute {
		t.Errorf("radish dries 20 min, here: %s", got)
	}
	sh.pass(3 * time.Minute)
	sh.do(line.MendTrouble{ID: sh.s.Backlog[0].ID, How: "oiled"})
	if left() != 8*time.Minute {
		t.Errorf("12 min are left of the slow fan's, after its repair: %s", left())
	}
	sh.do(line.ReportTrouble{At: line.Place{Station: linetest.Pack, Slot: line.WholeStation}, What: "scale hangs", Effect: line.EffectSlow, SlowPercent: 20})
	if got := (line.Advice{}).HandTime(sh.s, line.Place{Station: linetest.Pack}, "pea", 4, ""); got != 4*108*time.Second {
		t.Errorf("4 trays of 90 s at 20 %% more: %s", got)
	}
}
