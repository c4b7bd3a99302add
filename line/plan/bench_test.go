package plan_test

import (
	"context"
	"fmt"
	"os"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/plan"
	"shedbell/line/rehearse"
)

// BenchmarkDay plans days of a number of batches on the starter line with two
// people: how far from the bound, and how many to proof, within ten seconds each or
// within what SHEDBELL_BUDGET says.
func BenchmarkDay(b *testing.B) {
	for _, n := range []int{4, 8, 16, 24, 48, 100, 200} {
		b.Run(fmt.Sprintf("batches=%d", n), func(b *testing.B) {
			gap, proved, end := 0.0, 0, time.Duration(0)
			for i := range b.N {
				s := linetest.DayOf(n, 2, uint64(i))
				p, err := plan.Solve(context.Background(), s, linetest.Morning, plan.Options{Budget: dayBudget(), Seed: 1})
				if p == nil {
					b.Fatal(err)
				}
				b.StopTimer()
				if bad := checkPlan(s, p); len(bad) > 0 {
					b.Fatal(bad)
				}
				b.StartTimer()
				gap += 100 * p.Gap()
				end += p.Finish.Sub(p.Made)
				if p.Optimal {
					proved++
				}
			}
			b.ReportMetric(gap/float64(b.N), "gap_pct")
			b.ReportMetric(float64(proved)/float64(b.N), "proved")
			b.ReportMetric(end.Minutes()/float64(b.N), "day_min")
		})
	}
}

// BenchmarkRepair mends the plan of a day of 24 batches in its middle.
func BenchmarkRepair(b *testing.B) {
	s := linetest.DayOf(24, 2, 1)
	p, err := plan.Solve(context.Background(), s, linetest.Morning, plan.Options{Budget: time.Second, Seed: 1})
	if p == nil {
		b.Fatal(err)
	}
	at := linetest.Moments(s, 16, 1)
	b.Run("at the start", func(b *testing.B) {
		for b.Loop() {
			if _, err := plan.Repair(s, linetest.Morning.Add(time.Minute), p, plan.Options{}); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("any moment", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			m := at[i%len(at)]
			if _, err := plan.Repair(m.State, m.Now, p, plan.Options{}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkSure rehearses the starter day a thousand times.
func BenchmarkSure(b *testing.B) {
	s := starter(b)
	for b.Loop() {
		if _, _, err := plan.FinishOdds(context.Background(), s, linetest.Morning, line.Advice{}, plan.OddsDays, rehearse.Typical, 1); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFollow compares 200 random days with the plan and first come, first
// served, rehearsed without delays and with the same typical delays.
func BenchmarkFollow(b *testing.B) {
	const n = 200
	for b.Loop() {
		var sum, worst, most, planned, typical time.Duration
		var lateWith, lateBefore, taken int
		worst = time.Hour
		for seed := range uint64(n) {
			s := linetest.RandomDay(seed)
			p, f := solveAndFollow(b, s, seed, 500*time.Millisecond)
			saves := f.Before.Sub(f.With)
			sum += saves
			worst, most = min(worst, saves), max(most, saves)
			planned += f.Before.Sub(p.Finish)
			lateWith, lateBefore = lateWith+f.MissedWith, lateBefore+f.MissedBefore
			if f.Advice.Order != nil {
				taken++
			}
			typical += withDelays(b, seed, f)
		}
		b.ReportMetric(sum.Minutes()/n, "mean_saving_min")
		b.ReportMetric(worst.Minutes(), "worst_saving_min")
		b.ReportMetric(most.Minutes(), "most_saving_min")
		b.ReportMetric(typical.Minutes()/n, "mean_saving_with_delays_min")
		b.ReportMetric(planned.Minutes()/n, "plan_before_rehearsal_min")
		b.ReportMetric(float64(taken)/n, "taken")
		b.ReportMetric(float64(lateBefore), "late_before")
		b.ReportMetric(float64(lateWith), "late_with")
	}
}

// withDelays is what the plan's order saves on a day with typical delays, over a few
// seeds.
func withDelays(b *testing.B, seed uint64, f plan.Followed) time.Duration {
	const n = 5
	s := linetest.RandomDay(seed)
	var saved time.Duration
	for i := range uint64(n) {
		with, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{Seed: i, Delays: rehearse.Typical, Advice: f.Advice})
		if err != nil {
			b.Fatal(err)
		}
		without, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{Seed: i, Delays: rehearse.Typical})
		if err != nil {
			b.Fatal(err)
		}
		saved += without.Finish.Sub(with.Finish)
	}
	return saved / n
}

func dayBudget() time.Duration {
	if d, err := time.ParseDuration(os.Getenv("SHEDBELL_BUDGET")); err == nil {
		return d
	}
	return 10 * time.Second
}
