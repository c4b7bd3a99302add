package plan_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/linetest"
	"shedbell/line/plan"
	"shedbell/recipes"
)

// starter is the starter line with the starter day opened.
func starter(t testing.TB) *line.State {
	t.Helper()
	s, _, no := line.Do(line.NewState(files.Starter(), recipes.Starters()), line.OpenDay{Sheet: *files.StarterDay(linetest.Morning)}, linetest.Morning, "")
	if no != nil {
		t.Fatal(no)
	}
	return s
}

func solve(t testing.TB, s *line.State, now time.Time, opt plan.Options) *plan.Plan {
	t.Helper()
	p, err := plan.Solve(context.Background(), s, now, opt)
	if p == nil {
		t.Fatal(err)
	}
	for _, bad := range checkPlan(s, p) {
		t.Error(bad)
	}
	return p
}

// proved is a plan of which it is proved that no other ends earlier, however busy the
// machine is.
func proved(t testing.TB, s *line.State, opt plan.Options) *plan.Plan {
	t.Helper()
	for opt.Budget = 2 * time.Second; ; opt.Budget *= 4 {
		if p := solve(t, s, linetest.Morning, opt); p.Optimal || opt.Budget > 2*time.Minute {
			return p
		}
	}
}

func TestStarterDay(t *testing.T) {
	s := starter(t)
	better := 0
	p := proved(t, s, plan.Options{WhatIf: time.Second, Seed: 1, OnBetter: func(p *plan.Plan) {
		better++
		for _, bad := range checkPlan(s, p) {
			t.Error(bad)
		}
	}})
	if better == 0 {
		t.Error("no plan was reported on the way")
	}
	// The cutting table is busy with 20 trays at 3:20 and 7 carries of 50 s; then the
	// batch cut last takes its way and all trays are washed, by a machine that runs alone.
	// By hand for mustard 1, two trays, with the starter recipe: wash 3:30, carry 1:10,
	// spin 4:00, carry 1:40, dry 16:00, out 1:15. Eight trays, two pieces of the washing,
	// can have been sanitized for 13:30 when the last are washed, and not twelve; so
	// twelve are sown, at one place, after the last have been sanitized.
	cut := 20*200*time.Second + 7*50*time.Second
	way := 3*time.Minute + 30*time.Second + 70*time.Second + 4*time.Minute + 100*time.Second + 16*time.Minute + 75*time.Second
	rest := 20*75*time.Second + 3*time.Minute + 10*time.Minute + 30*time.Second + 12*time.Minute
	if want := linetest.Morning.Add(cut + way + rest); !p.Finish.Equal(want) || !p.Optimal {
		t.Errorf("the day ends at %s, proved %v; by hand it is %s", p.Finish, p.Optimal, want)
	}
	if !strings.HasPrefix(p.Binding.Words.String(), "the cutting table") {
		t.Errorf("what binds is %q", p.Binding.Words)
	}
	for _, w := range p.WhatIf {
		if what := w.What.String(); (what == "one more place at the cutting table" || strings.Contains(what, "20 A")) != (w.Saves > 0) {
			t.Errorf("%s saves %s", w.What, w.Saves)
		}
	}
}
