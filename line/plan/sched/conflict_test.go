package sched_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"shedbell/line/plan/sched"
)

func TestConflictNamesTheDemands(t *testing.T) {
	use := sched.Use(0, 1)
	tub := []sched.Resource{{Name: "tub", Capacity: 1}, {Name: "hands", Capacity: 2}}
	cases := []struct {
		name string
		p    sched.Problem
		want []sched.Cause
	}{
		// Two batches of 5 in one tub cannot both be done by 8. The third
		// deadline and the hands have nothing to do with it.
		{"two deadlines on one tub", sched.Problem{Resources: tub, Activities: []sched.Activity{
			{Modes: []sched.Mode{{Duration: 5, Demands: []sched.Demand{use}}}, Deadline: 8},
			{Modes: []sched.Mode{{Duration: 5, Demands: []sched.Demand{use}}}, Deadline: 9},
			{Modes: []sched.Mode{{Duration: 5, Demands: []sched.Demand{sched.Use(1, 1)}}}, Deadline: 50}}},
			[]sched.Cause{{Kind: sched.ByCapacity}, {Kind: sched.ByDeadline}, {Kind: sched.ByDeadline, Index: 1}}},
		{"demand above capacity", sched.Problem{Resources: tub, Activities: []sched.Activity{
			sched.Simple("a", 2, sched.Use(0, 2))}},
			[]sched.Cause{{Kind: sched.ByCapacity}}},
		{"release and deadline", sched.Problem{Activities: []sched.Activity{
			{Modes: []sched.Mode{{Duration: 5}}, Release: 6, Deadline: 10},
			{Modes: []sched.Mode{{Duration: 5}}, Deadline: 10}}},
			[]sched.Cause{{Kind: sched.ByDeadline}}},
		{"lag against lag", sched.Problem{Activities: []sched.Activity{
			sched.Simple("a", 5), sched.Simple("b", 5), sched.Simple("c", 1)},
			Lags: []sched.Lag{sched.After(0, 1, 3), sched.Within(0, 2, 9), sched.Within(0, 1, 2)}},
			[]sched.Cause{{Kind: sched.ByLag, Index: 2}}},
		{"nothing but durations", sched.Problem{Horizon: 4, Activities: []sched.Activity{sched.Simple("a", 5)}}, nil},
	}
	for _, c := range cases {
		got, refuted, err := sched.Conflict(context.Background(), &c.p)
		if err != nil || !refuted || !slices.Equal(got, c.want) {
			t.Errorf("%s: %+v, %v, %v; want %+v", c.name, got, refuted, err, c.want)
		}
		for _, cause := range got {
			if cause.Describe(&c.p) == "" {
				t.Error("no words")
			}
		}
	}
}

func TestNoConflictInFeasible(t *testing.T) {
	p := &sched.Problem{Activities: []sched.Activity{sched.Simple("a", 5)}}
	if got, refuted, err := sched.Conflict(context.Background(), p); got != nil || refuted || err != nil {
		t.Error(got, refuted, err)
	}
}

func TestCausesInWords(t *testing.T) {
	p := &sched.Problem{
		Resources:  []sched.Resource{{Name: "hands", Capacity: 2}},
		Activities: []sched.Activity{{Name: "cut", Modes: []sched.Mode{{Duration: 1}}, Deadline: 9}},
	}
	for cause, want := range map[sched.Cause]string{
		{Kind: sched.ByCapacity}: "there are 2 of hands",
		{Kind: sched.ByDeadline}: "activity 0 (cut) must finish by 9",
	} {
		if got := cause.Describe(p); !strings.Contains(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
