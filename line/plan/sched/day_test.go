package sched_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"shedbell/line/plan/bench"
	"shedbell/line/plan/sched"
)

// Resources of the made-up day.
const (
	hands = iota
	tub
	spinner
	shelves
	baskets
	circuitA
	circuitB
	stations
)

// day is a made-up processing day in minutes: each batch is cut, washed, spun,
// dried (fan low or high), packed and put away, greens must not wait wet, a
// basket is held from wash to pack, the shelves share a fan bank, and each
// batch has a due time. Figures are invented.
func day(batches int, crew int) *sched.Problem {
	rng := rand.New(rand.NewPCG(uint64(batches), 11))
	p := &sched.Problem{Resources: make([]sched.Resource, stations)}
	for r, c := range [stations]int{crew, 1, 1, 4, 6, 16, 16} {
		p.Resources[r] = sched.Resource{Name: fmt.Sprint(r), Capacity: c}
	}
	var late, wait sched.Goal
	for b := range batches {
		add := func(minutes int, ds ...sched.Demand) int {
			p.Activities = append(p.Activities, sched.Simple(fmt.Sprint(b), minutes, ds...))
			return len(p.Activities) - 1
		}
		cut := add(4+rng.IntN(6), sched.Use(hands, 1))
		load := add(1, sched.Use(hands, 1), sched.Use(tub, 1))
		wash := add(5+rng.IntN(5), sched.Use(tub, 1), sched.Use(circuitA, 9))
		spin := add(2+rng.IntN(2), sched.Use(hands, 1), sched.Use(spinner, 1), sched.Use(circuitA, 8))
		dry := add(20+rng.IntN(20), sched.Use(shelves, 1), sched.Demand{Resource: circuitB, Units: 5, Group: 1})
		low := p.Activities[dry].Modes[0]
		low.Duration += 15
		low.Demands = []sched.Demand{sched.Use(shelves, 1), {Resource: circuitB, Units: 2, Group: 1}}
		p.Activities[dry].Modes = append(p.Activities[dry].Modes, low)
		pack := add(5+rng.IntN(8), sched.Use(hands, 1))
		chill := add(1, sched.Use(hands, 1))
		p.Lags = append(p.Lags,
			sched.After(cut, load, 0), within(cut, load, 30),
			sched.After(load, wash, 0), within(load, wash, 0),
			sched.After(wash, spin, 0), within(wash, spin, 5),
			sched.After(spin, dry, 0), within(spin, dry, 5),
			sched.After(dry, pack, 0), within(dry, pack, 45),
			sched.After(pack, chill, 0), within(pack, chill, 10))
		p.Holds = append(p.Holds, sched.Hold{Name: "basket", From: sched.StartOf(load), To: sched.StartOf(pack),
			Demands: []sched.Demand{sched.Use(baskets, 1)}})
		late = append(late, sched.Term{Kind: sched.Tardiness, Activity: chill, Due: 90 + 25*b, Weight: 1})
		wait = append(wait, sched.Term{Kind: sched.Wait, Activity: wash, Other: spin, Weight: 1},
			sched.Term{Kind: sched.Wait, Activity: spin, Other: dry, Weight: 1})
	}
	wipe := len(p.Activities)
	p.Activities = append(p.Activities, sched.Simple("pressure wash", 20, sched.Use(hands, 1), sched.Use(circuitA, 14), sched.Use(circuitB, 1)))
	for b := range batches {
		p.Lags = append(p.Lags, sched.After(7*b+1, wipe, 0))
	}
	p.Goals = []sched.Goal{late, {{Kind: sched.Makespan, Weight: 1}}, wait}
	return p
}

func TestDaysGetPlans(t *testing.T) {
	for _, batches := range []int{1, 4, 8, 24} {
		p := day(batches, 2)
		res, err := sched.Solve(context.Background(), p, sched.Options{Seed: 1, MaxConflicts: 1500})
		if err != nil {
			t.Fatal(err)
		}
		if res.Best == nil {
			t.Fatalf("%d batches: %v", batches, res.Status)
		}
		if bad := bench.CheckSchedule(p, res.Best.Schedule); len(bad) > 0 {
			t.Fatalf("%d batches: %v", batches, bad)
		}
		if batches == 1 && res.Status != sched.Optimal {
			t.Errorf("one batch: %v", res.Status)
		}
	}
}

// BenchmarkDay reports what two seconds of search reach.
func BenchmarkDay(b *testing.B) {
	for _, batches := range []int{4, 8, 16, 24, 48} {
		b.Run(fmt.Sprint(batches), func(b *testing.B) {
			p := day(batches, 2)
			var res sched.Result
			for b.Loop() {
				ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
				res, _ = sched.Solve(ctx, p, sched.Options{Workers: 2, Seed: 1})
				cancel()
			}
			if res.Best == nil {
				b.Fatal(res.Status)
			}
			for k, name := range []string{"late", "end", "wait"} {
				b.ReportMetric(float64(res.Best.Values[k]), name)
				b.ReportMetric(float64(res.Bounds[k]), name+"-bound")
			}
		})
	}
}

// BenchmarkFirstPlan measures the time to the first schedule, and
// BenchmarkRepair the time to repair one after a delay.
func BenchmarkFirstPlan(b *testing.B) {
	p := day(24, 2)
	for b.Loop() {
		if res, _ := sched.Solve(context.Background(), p, sched.Options{FirstOnly: true}); res.Best == nil {
			b.Fatal(res.Status)
		}
	}
}
