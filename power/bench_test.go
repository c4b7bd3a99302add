package power

import (
	"fmt"
	"testing"
	"time"
)

// bigPanel has 40 loads on 8 circuits of a split-phase feeder; every second load
// has a motor.
func bigPanel() *Panel {
	p := &Panel{VoltageV: 120, Feeders: []Feeder{{Name: "main", RatingA: 60}}}
	for c := range 8 {
		p.Circuits = append(p.Circuits, Circuit{Name: fmt.Sprintf("c%d", c), RatingA: 20, Feeder: "main", Leg: LegA + Leg(c%2)})
	}
	for i := range 40 {
		l := Load{Name: fmt.Sprintf("load %02d", i), Circuit: i % 8, Settings: []Setting{{"on", 1.3 + float64(i*7%40)/16}}}
		if i%2 == 0 {
			l.StartingA, l.StartingTime = 5*l.Settings[0].AmpsA, 600*time.Millisecond
		}
		l.Cycles = i == 3
		p.Loads = append(p.Loads, l)
	}
	return p
}

// allOn switches every load but the last on, a minute apart.
func allOn(p *Panel) (State, time.Time) {
	s, now := NewState(p), t0
	for i := range len(p.Loads) - 1 {
		now = now.Add(time.Minute)
		s = s.Switched(p, i, Status{On: true, Since: now, Until: now.Add(2 * time.Hour)}, now)
	}
	return s, now.Add(time.Second)
}

func TestAllowedPathDoesNotAllocate(t *testing.T) {
	p := bigPanel()
	p.Feeders[0].RatingA = 100
	s, now := allOn(p)
	q := Ask{Load: len(p.Loads) - 1}
	if v := p.Judge(s, q, now); !v.Allowed {
		t.Fatal(v.Says().String())
	}
	if n := testing.AllocsPerRun(100, func() { p.Judge(s, q, now) }); n != 0 {
		t.Fatalf("an allowed verdict allocates %v times", n)
	}
}

func BenchmarkJudgeAllowed(b *testing.B) {
	p := bigPanel()
	p.Feeders[0].RatingA = 100
	s, now := allOn(p)
	b.ReportAllocs()
	for b.Loop() {
		p.Judge(s, Ask{Load: len(p.Loads) - 1}, now)
	}
}

// With every load on, a 16 A start needs several of twenty loads on its leg off.
func BenchmarkSmallestOff(b *testing.B) {
	p := bigPanel()
	s, now := allOn(p)
	p.Loads[39].Settings[0].AmpsA = 16
	q := Ask{Load: 39}
	b.ReportAllocs()
	size := 0
	for b.Loop() {
		w := p.weigh(s, q, now)
		size = len(w.smallestOff())
	}
	if size < 2 {
		b.Fatalf("named %d loads", size)
	}
	b.ReportMetric(float64(size), "loads")
}

// The whole refusal: smallest set, earliest instant and words.
func BenchmarkJudgeRefused(b *testing.B) {
	p := bigPanel()
	s, now := allOn(p)
	p.Loads[39].Settings[0].AmpsA = 16
	for b.Loop() {
		p.Judge(s, Ask{Load: 39}, now)
	}
}

// The hardest shape for the exact search: one feeder leg with 39 loads of nearly
// equal current, many of which have to go.
func BenchmarkSmallestOffAdversarial(b *testing.B) {
	p := &Panel{VoltageV: 120, Circuits: []Circuit{{Name: "one", RatingA: 40}}}
	for i := range 40 {
		p.Loads = append(p.Loads, Load{Name: fmt.Sprintf("load %02d", i), Settings: []Setting{{"on", 1 + float64(i*13%40)/97}}})
	}
	s, now := allOn(p)
	p.Loads[39].Settings[0].AmpsA = 9.7
	size := 0
	for b.Loop() {
		w := p.weigh(s, Ask{Load: 39}, now)
		size = len(w.smallestOff())
	}
	b.ReportMetric(float64(size), "loads")
}

// Every pair of plugs to every other circuit.
func BenchmarkProposeMoves(b *testing.B) {
	p := bigPanel()
	for b.Loop() {
		p.ProposeMoves(2, nil)
	}
}

func BenchmarkMaximalSets(b *testing.B) {
	p := bigPanel()
	for b.Loop() {
		p.MaximalSets(3)
	}
}
