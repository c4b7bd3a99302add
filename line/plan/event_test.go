package plan_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/plan"
	"shedbell/line/rehearse"
)

// spinning is a day of six batches at the moment at which the first is in the
// spinner, with the plan that people follow.
func spinning(t *testing.T, crew int) (*line.State, time.Time, *plan.Plan) {
	t.Helper()
	s := linetest.DayOf(6, crew, 4)
	p, err := plan.Repair(s, linetest.Morning, nil, plan.Options{Seed: 1}) // the same on every machine
	if err != nil {
		t.Fatal(err)
	}
	stop := errors.New("there")
	ctx, cancel := context.WithCancelCause(t.Context())
	defer cancel(nil)
	var at line.Record
	_, err = rehearse.Run(ctx, s, linetest.Morning, rehearse.Options{Advice: p.Advice(), Watch: func(now *line.State, r line.Record) {
		if e, ok := r.Event.(line.StepStarted); ok && at.At.IsZero() && s.Site.Stations[e.At.Station].Kind == line.Spin {
			s, at = now, r
			cancel(stop)
		}
	}})
	if at.At.IsZero() {
		t.Fatal(err)
	}
	mended, err := plan.Repair(s, at.At, p, plan.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s, at.At, mended
}

// stepsOf are a batch's steps by kind of station.
func stepsOf(p *plan.Plan, batch int) map[line.Kind]plan.Step {
	out := map[line.Kind]plan.Step{}
	for _, st := range p.Steps {
		if st.Batch == batch {
			out[st.Kind] = st
		}
	}
	return out
}

// TestEveryEventReplans: whatever happens, the mended plan can be done, and says what
// the event has changed.
func TestEveryEventReplans(t *testing.T) {
	const late = 6 * time.Minute
	for _, tc := range []struct {
		name  string
		crew  int
		event func(s *line.State, batch int, at line.Place) line.Command
		wait  time.Duration
		check func(t *testing.T, batch int, before, after *plan.Plan)
	}{
		{"late", 2, func(_ *line.State, _ int, at line.Place) line.Command { return line.Adjust{At: at, By: late} }, 0,
			func(t *testing.T, batch int, before, after *plan.Plan) {
				if by := stepsOf(after, batch)[line.Spin].Ready.Sub(stepsOf(before, batch)[line.Spin].Ready); by != late {
					t.Errorf("the spinner is ready %s later", by)
				}
				if a, b := stepsOf(after, batch)[line.Dry], stepsOf(before, batch)[line.Dry]; !a.Start.After(b.Start) {
					t.Errorf("it goes on the rack at %s as before", a.Start)
				}
			}},
		{"nobody came", 2, nil, 45 * time.Minute,
			func(t *testing.T, batch int, before, after *plan.Plan) {
				if a, b := stepsOf(after, batch)[line.Dry], stepsOf(before, batch)[line.Dry]; !a.Start.After(b.Start) || after.Spoilt == 0 {
					t.Errorf("on the rack at %s, waiting %s too long", a.Start, after.Spoilt)
				}
			}},
		{"early", 2, func(_ *line.State, _ int, at line.Place) line.Command { return line.Finish{At: at} }, 0,
			func(t *testing.T, batch int, before, after *plan.Plan) {
				if a, b := stepsOf(after, batch)[line.Dry], stepsOf(before, batch)[line.Dry]; a.Start.After(b.Start) {
					t.Errorf("on the rack at %s, before at %s", a.Start, b.Start)
				}
			}},
		{"held", 2, func(_ *line.State, _ int, at line.Place) line.Command { return line.Hold{At: at} }, 4 * time.Minute,
			func(t *testing.T, batch int, before, after *plan.Plan) {
				if a := stepsOf(after, batch)[line.Spin]; a.Running || a.Start.Before(after.Made) {
					t.Errorf("the held step is planned as %+v", a)
				}
			}},
		{"scrapped", 2, func(_ *line.State, batch int, _ line.Place) line.Command {
			return line.Scrap{Batch: batch, Reason: "mould"}
		}, 0,
			func(t *testing.T, batch int, before, after *plan.Plan) {
				if len(stepsOf(after, batch)) > 0 || len(stepsOf(before, batch)) == 0 {
					t.Error("a scrapped batch still has steps")
				}
			}},
		{"second helper", 1, func(s *line.State, _ int, _ line.Place) line.Command {
			return line.SetCrew{Names: append([]string{"Rowan"}, s.Crew...)}
		}, 0,
			func(t *testing.T, _ int, before, after *plan.Plan) {
				if !after.Finish.Before(before.Finish.Add(-plan.Stable)) {
					t.Errorf("with a helper the day ends at %s, without at %s", after.Finish, before.Finish)
				}
				second := false
				for _, h := range after.Hands {
					second = second || h.Who == 1
				}
				if !second {
					t.Error("the helper has nothing to do")
				}
			}},
		{"helper gone", 2, func(s *line.State, _ int, _ line.Place) line.Command { return line.SetCrew{Names: s.Crew[:1]} }, 0,
			func(t *testing.T, _ int, before, after *plan.Plan) {
				if !after.Finish.After(before.Finish) {
					t.Errorf("alone the day ends at %s, together at %s", after.Finish, before.Finish)
				}
			}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s, now, before := spinning(t, tc.crew)
			spin := s.Site.StationsOf(line.Spin)[0]
			b, _ := s.Occupant(line.Place{Station: spin})
			batch := b.ID
			if tc.event != nil {
				var no *line.Refusal
				if s, _, no = line.Do(s, tc.event(s, batch, b.Step.Place), now, ""); no != nil {
					t.Fatal(no)
				}
			}
			after, err := plan.Repair(s, now.Add(tc.wait), before, plan.Options{})
			if err != nil {
				t.Fatal(err)
			}
			for _, bad := range checkPlan(s, after) {
				t.Error(bad)
			}
			tc.check(t, batch, before, after)
		})
	}
}

// TestDeadSpinner: without it people spin by hand, which takes longer, until it is back.
func TestDeadSpinner(t *testing.T) {
	s, now, before := spinning(t, 2)
	at := line.Place{Station: s.Site.StationsOf(line.Spin)[0]}
	dead, _, no := line.Do(s, line.MarkBroken{At: at, Why: "belt"}, now, "")
	if no != nil {
		t.Fatal(no)
	}
	byHand, err := plan.Repair(dead, now, before, plan.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, bad := range checkPlan(dead.WithStandIns(), byHand) {
		t.Error(bad)
	}
	if !byHand.Finish.After(before.Finish) {
		t.Errorf("by hand the day ends at %s, with the spinner at %s", byHand.Finish, before.Finish)
	}
	mended, _, no := line.Do(dead, line.MarkMended{At: at}, now.Add(time.Minute), "")
	if no != nil {
		t.Fatal(no)
	}
	p, err := plan.Repair(mended, now.Add(time.Minute), before, plan.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, bad := range checkPlan(mended, p) {
		t.Error(bad)
	}
}

// TestNextActionDoesNotFlicker: searches with other seeds, and time that goes by, name
// the same next start as the plan that people follow, unless they gain over a minute.
func TestNextActionDoesNotFlicker(t *testing.T) {
	next := func(p *plan.Plan) plan.Step {
		for _, st := range p.Steps {
			if !st.Running {
				return st
			}
		}
		return plan.Step{}
	}
	for day := range uint64(6) {
		s := linetest.RandomDay(day)
		followed, err := plan.Repair(s, linetest.Morning, nil, plan.Options{})
		if err != nil {
			t.Fatal(err)
		}
		changes := 0
		for seed := range uint64(4) {
			now := linetest.Morning.Add(time.Duration(seed) * 5 * time.Second)
			p, err := plan.Solve(t.Context(), s, now, plan.Options{Budget: 40 * time.Millisecond, Seed: seed, Previous: followed})
			if p == nil {
				t.Fatal(err)
			}
			a, b := next(followed), next(p)
			if a.Batch == b.Batch && a.Kind == b.Kind && a.Place == b.Place {
				followed = p
				continue
			}
			changes++
			if gain := followed.Finish.Sub(p.Finish) + followed.Late - p.Late + followed.Spoilt - p.Spoilt; gain <= plan.Stable {
				t.Errorf("day %d: %s instead of %s for a gain of %s", day, b.Name, a.Name, gain)
			}
			followed = p
		}
		if changes > 2 {
			t.Errorf("day %d: the next start changed %d times", day, changes)
		}
	}
}

// TestWhatIfIsARealPlan: what one more of something saves is what a plan for that
// line saves, here where both are proved.
func TestWhatIfIsARealPlan(t *testing.T) {
	if testing.Short() {
		t.Skip("proves nine plans")
	}
	s := linetest.DayOf(3, 1, 2)
	opt := plan.Options{Seed: 1}
	asked := opt
	asked.WhatIf = time.Minute
	p := proved(t, s, asked)
	more := map[string]*line.State{}
	hand := *s
	hand.Crew = append([]string{"Rowan"}, s.Crew...)
	more["one more pair of hands"] = &hand
	for kind, what := range map[line.Kind]string{line.Cut: "one more place at the cutting table", line.Spin: "one more basket at the spinner", line.Dry: "one more shelf on the rack"} {
		c, site := *s, *s.Site
		site.Stations = append([]line.Station(nil), site.Stations...)
		site.Stations[site.StationsOf(kind)[0]].Slots++
		c.Site = &site
		more[what] = &c
	}
	gained := false
	for what, state := range more {
		other := proved(t, state, opt)
		if !p.Optimal || !other.Optimal {
			t.Fatalf("%s: not proved", what)
		}
		found := false
		for _, w := range p.WhatIf {
			if w.What.String() != what {
				continue
			}
			found = true
			if !w.Finish.Equal(other.Finish) || w.Saves != p.Finish.Sub(other.Finish) {
				t.Errorf("%s: said %s, planned %s", what, w.Finish, other.Finish)
			}
			gained = gained || w.Saves > plan.Stable
		}
		if !found {
			t.Errorf("nobody asked about %s", what)
		}
	}
	if !gained {
		t.Error("nothing saves anything, so this shows nothing")
	}
}
