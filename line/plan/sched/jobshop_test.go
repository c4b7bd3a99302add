package sched_test

import (
	"context"
	"slices"
	"testing"

	"shedbell/line/plan/bench"
	"shedbell/line/plan/sched"
)

// ft06 is the six by six job shop of H. Fisher and G. L. Thompson,
// "Probabilistic learning combinations of local job-shop scheduling rules",
// in Muth and Thompson (eds.), Industrial Scheduling, Prentice-Hall 1963:
// machine and duration of each job's operations in order. Its least makespan
// is 55.
var ft06 = [6][12]int{
	{2, 1, 0, 3, 1, 6, 3, 7, 5, 3, 4, 6},
	{1, 8, 2, 5, 4, 10, 5, 10, 0, 10, 3, 4},
	{2, 5, 3, 4, 5, 8, 0, 9, 1, 1, 4, 7},
	{1, 5, 0, 5, 2, 5, 3, 3, 4, 8, 5, 9},
	{2, 9, 1, 3, 4, 5, 5, 4, 0, 3, 3, 1},
	{1, 3, 3, 3, 5, 9, 0, 10, 4, 4, 2, 1},
}

const ft06Optimum = 55

func jobShop(jobs [6][12]int) *sched.Problem {
	p := &sched.Problem{}
	for range 6 {
		p.Resources = append(p.Resources, sched.Resource{Capacity: 1})
	}
	for _, job := range jobs {
		for k := 0; k < len(job); k += 2 {
			i := len(p.Activities)
			p.Activities = append(p.Activities, sched.Simple("", job[k+1], sched.Use(job[k], 1)))
			if k > 0 {
				p.Lags = append(p.Lags, sched.After(i-1, i, 0))
			}
		}
	}
	return p
}

func TestProvesFisherThompson6(t *testing.T) {
	for _, workers := range []int{1, 2} {
		p := jobShop(ft06)
		res, err := sched.Solve(context.Background(), p, sched.Options{Workers: workers, Seed: 7})
		if err != nil {
			t.Fatal(err)
		}
		if res.Status != sched.Optimal || res.Best.Values[0] != ft06Optimum || res.Bounds[0] != ft06Optimum {
			t.Fatalf("%d workers: %v %v, bound %v; want optimal %d", workers, res.Status, res.Best, res.Bounds, ft06Optimum)
		}
		if bad := bench.CheckSchedule(p, res.Best.Schedule); len(bad) > 0 {
			t.Fatalf("%d workers: %v", workers, bad)
		}
	}
}

// TestSameSeedSameRun: with one worker, the sequence of schedules and the
// counts of work depend on the seed alone.
func TestSameSeedSameRun(t *testing.T) {
	run := func() (sched.Result, [][]int) {
		var log [][]int
		p := jobShop(ft06)
		res, err := sched.Solve(context.Background(), p, sched.Options{Workers: 1, Seed: 3,
			OnSolution: func(s sched.Solution) { log = append(log, s.Start) }})
		if err != nil {
			t.Fatal(err)
		}
		return res, log
	}
	a, logA := run()
	b, logB := run()
	if a.Stats != b.Stats || !slices.Equal(a.Best.Start, b.Best.Start) {
		t.Fatalf("two runs differ: %+v and %+v", a.Stats, b.Stats)
	}
	if !slices.EqualFunc(logA, logB, slices.Equal) {
		t.Fatalf("two runs found different schedules: %v and %v", logA, logB)
	}
}

func BenchmarkFisherThompson6(b *testing.B) {
	p := jobShop(ft06)
	for b.Loop() {
		res, _ := sched.Solve(context.Background(), p, sched.Options{Seed: 1})
		if res.Status != sched.Optimal {
			b.Fatal(res.Status)
		}
	}
}
