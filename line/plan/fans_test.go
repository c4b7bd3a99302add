package plan_test

import (
	"maps"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/linetest"
	"shedbell/line/plan"
	"shedbell/line/rehearse"
	"shedbell/power"
	"shedbell/recipes"
)

// narrowShed is the starter line with the rack fans and the spinner on one circuit
// that carries both only while the fans run at low, and recipes that ask for high.
// fixed is the setting that the rack's station asks for, empty for a free choice.
func narrowShed(t *testing.T, fixed string, crops ...line.Demand) *line.State {
	t.Helper()
	site := files.Starter()
	panel := &site.Panel
	rack, spinner := site.StationsOf(line.Dry)[0], site.StationsOf(line.Spin)[0]
	panel.Circuits = append(panel.Circuits, power.Circuit{Name: "old socket", RatingA: 15})
	for _, station := range []int{rack, spinner} {
		panel.Loads[site.Stations[station].Load].Circuit = len(panel.Circuits) - 1
	}
	panel.Loads[site.Stations[spinner].Load].Settings = []power.Setting{{AmpsA: 10}}
	panel.Loads[site.Stations[rack].Load].Settings = []power.Setting{{Name: recipes.FanLow, AmpsA: 2}, {Name: recipes.FanHigh, AmpsA: 6}}
	site.Stations[site.StationsOf(line.Cut)[0]].PerTray = 30 * time.Second
	site.Stations[rack].Setting = fixed
	book := recipes.Starters()
	for _, crop := range book.Crops() {
		r, _ := book.Current(crop)
		r.Fan, r.Spin, r.MaxWetWait = recipes.FanHigh, 12*time.Minute, 5*time.Minute
		r.Dry = 8 * time.Minute
		book = book.With(r)
	}
	sheet := line.Sheet{Date: linetest.Morning.Format(time.DateOnly), Start: linetest.Morning, Crew: site.Crew[:2], Crops: crops}
	s, _, no := line.Do(line.NewState(site, book), line.OpenDay{Sheet: sheet}, linetest.Morning, "")
	if no != nil {
		t.Fatal(no)
	}
	return s
}

// TestMixedFans: low fans let the spinner run beside them, high ones dry sooner. The
// best day has both: low as long as something has to be spun, high for the last. With
// one setting all day it ends later, whichever it is.
func TestMixedFans(t *testing.T) {
	crops := []line.Demand{{Crop: "radish", Trays: 2}, {Crop: "sunflower", Trays: 1}, {Crop: "broccoli", Trays: 1}}
	end := func(fixed string) (*plan.Plan, map[int]bool) {
		p := solve(t, narrowShed(t, fixed, crops...), linetest.Morning, plan.Options{Budget: 20 * time.Second, Seed: 1})
		used := map[int]bool{}
		for i := range p.Steps {
			if p.Steps[i].Kind == line.Dry {
				used[p.Steps[i].Setting] = true
			}
		}
		t.Logf("%q: %s, bound %s, %v", fixed, p.Finish.Format(time.TimeOnly), p.LowerBound.Format(time.TimeOnly), used)
		return p, used
	}
	low, _ := end(recipes.FanLow)
	high, _ := end(recipes.FanHigh)
	mixed, used := end("")
	if !mixed.Finish.Before(low.LowerBound) || !mixed.Finish.Before(high.LowerBound) {
		t.Errorf("mixed %s, low %s, high %s", mixed.Finish, low.Finish, high.Finish)
	}
	if len(used) != 2 {
		t.Errorf("settings used: %v", used)
	}
}

// TestFollowedFans: people who follow the plan start the fans as it says, and the
// interlock, which refuses the spinner beside fans at high, lets them.
func TestFollowedFans(t *testing.T) {
	s := narrowShed(t, "", line.Demand{Crop: "radish", Trays: 2}, line.Demand{Crop: "sunflower", Trays: 1}, line.Demand{Crop: "broccoli", Trays: 1})
	p := solve(t, s, linetest.Morning, plan.Options{Budget: 20 * time.Second, Seed: 1})
	planned := map[int]int{}
	for i := range p.Steps {
		if p.Steps[i].Kind == line.Dry {
			planned[p.Steps[i].Batch] = p.Steps[i].Setting
		}
	}
	ran := map[int]int{}
	var told []line.Record
	res, err := rehearse.Run(t.Context(), s, linetest.Morning, rehearse.Options{Advice: p.Advice(), Watch: func(s *line.State, r line.Record) {
		told = append(told, r)
		if e, ok := r.Event.(line.StepStarted); ok && s.Site.Stations[e.At.Station].Kind == line.Dry {
			ran[e.Batch] = e.Setting
		}
	}})
	if err != nil {
		t.Fatal(err)
	}
	if !maps.Equal(planned, ran) {
		t.Errorf("planned at %v, dried at %v", planned, ran)
	}
	alone, err := rehearse.Run(t.Context(), s, linetest.Morning, rehearse.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !res.Finish.Before(alone.Finish) {
		t.Errorf("with the plan's fans the day ends at %s, with the recipes' at %s", res.Finish, alone.Finish)
	}
	replayed(t, s, told, res.Final, p.Advice())
}

// replayed reads the records of a day back as a journal does, and goes on from what a
// snapshot of every tenth of them gives: it must come to the same line, and the same
// advice to the same day.
func replayed(t *testing.T, s *line.State, told []line.Record, want *line.State, advice line.Advice) {
	t.Helper()
	for n, r := range told {
		name, data, err := line.EncodeEvent(r.Event)
		if err != nil {
			t.Fatal(err)
		}
		if r.Event, err = line.DecodeEvent(name, data); err != nil {
			t.Fatal(err)
		}
		if s, err = line.Reapply(s, r); err != nil {
			t.Fatal(err)
		}
		if n%10 != 0 {
			continue
		}
		data, err = line.EncodeState(s)
		if err != nil {
			t.Fatal(err)
		}
		kept, err := line.DecodeState(data)
		if err != nil {
			t.Fatal(err)
		}
		a, errA := rehearse.Run(t.Context(), s, r.At, rehearse.Options{Advice: advice})
		b, errB := rehearse.Run(t.Context(), kept, r.At, rehearse.Options{Advice: advice})
		if errA != nil || errB != nil || !reflect.DeepEqual(a.Final, b.Final) {
			t.Errorf("after record %d the day goes on otherwise from a snapshot: %v, %v", r.Seq, errA, errB)
		}
	}
	if !reflect.DeepEqual(s, want) {
		t.Error("the records do not give the line that they were made on")
	}
}

// TestFansAtAnyMoment mends plans in the middle of days on which the fans' setting
// matters, after mishaps too.
func TestFansAtAnyMoment(t *testing.T) {
	for seed := range uint64(12) {
		rnd := rand.New(rand.NewPCG(seed, 0xfa5))
		all := []string{"radish", "sunflower", "broccoli", "pea", "mustard"}
		var crops []line.Demand
		for range 4 + rnd.IntN(4) {
			crops = append(crops, line.Demand{Crop: all[rnd.IntN(len(all))], Trays: 1 + rnd.IntN(3)})
		}
		s := narrowShed(t, "", crops...)
		before := solve(t, s, linetest.Morning, plan.Options{Budget: 50 * time.Millisecond, Seed: seed})
		for n, m := range linetest.Moments(s, 8, seed) {
			if m.State.DayDone() {
				continue
			}
			mended := mend(t, seed, n, m, before)
			if n == 0 {
				solve(t, m.State, m.Now, plan.Options{Budget: 50 * time.Millisecond, Previous: mended})
			}
		}
	}
}

// TestFansSetByHand: somebody turns the fans up by hand while greens dry. Whoever
// comes on the rack next has to join at that setting, and a plan is still found.
func TestFansSetByHand(t *testing.T) {
	turned, joined := 0, 0
	for seed := range uint64(6) {
		s := linetest.DayOf(8, 2, seed)
		p := solve(t, s, linetest.Morning, plan.Options{Budget: 50 * time.Millisecond, Seed: seed})
		load := s.Site.Stations[s.Site.StationsOf(line.Dry)[0]].Load
		high, _ := s.Site.Panel.Loads[load].SettingByName(recipes.FanHigh)
		for _, m := range linetest.Moments(s, 12, seed) {
			if m.State.LoadUsers(load, line.Nowhere) == 0 {
				continue
			}
			state, _, no := line.Do(m.State, line.SwitchOn{Load: load, Setting: high}, m.Now, "")
			if no != nil {
				continue
			}
			turned++
			mended, err := plan.Repair(state, m.Now, p, plan.Options{})
			if err != nil {
				t.Fatalf("day %d: %v", seed, err)
			}
			for _, bad := range checkPlan(state, mended) {
				t.Errorf("day %d: %s", seed, bad)
			}
			for _, st := range mended.Steps {
				if b := state.Batch(st.Batch); st.Kind == line.Dry && st.Setting == high && b.Step.Load != load {
					joined++
				}
			}
		}
	}
	if turned == 0 || joined == 0 {
		t.Errorf("%d moments with greens on the rack, %d joined them", turned, joined)
	}
}
