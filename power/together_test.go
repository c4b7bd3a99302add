package power

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func uses(u ...Use) []Use { return u }

func TestMaximalSetsOfASmallShed(t *testing.T) {
	p := smallShed() // washer 14 alone, fan 1 or 2 on 15 A; spinner 5 and fridge 6 on 20 A
	sets, complete := p.MaximalSets(0)
	if !complete || len(sets) != 2 || !slices.Equal(sets[0].Uses, uses(Use{0, 0})) || sets[0].AmpsA != 14 ||
		!slices.Equal(sets[1].Uses, uses(Use{1, 1})) {
		t.Fatalf("%+v", sets)
	}
	sets, _ = p.MaximalSets(1)
	if len(sets) != 1 || !slices.Equal(sets[0].Uses, uses(Use{2, 0}, Use{3, 0})) || sets[0].AmpsA != 11 {
		t.Fatalf("%+v", sets)
	}
}

// Against every combination of settings, tried one by one.
func TestMaximalSetsAreAllOfThem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := randomPanel(rapidDice(t), 6)
		for c := range p.Circuits {
			sets, complete := p.MaximalSets(c)
			e := enumeration{p: p, circuit: c, limit: p.LimitA(c)}
			for i := range p.Loads {
				if p.Loads[i].Circuit == c && !p.Loads[i].Cycles {
					e.loads = append(e.loads, i)
				}
			}
			var fitting [][]int
			total := 1
			for k := range e.loads {
				total *= len(e.steps(k)) + 1
			}
			for n := range total {
				chosen := make([]int, len(e.loads))
				for k := range chosen {
					chosen[k], n = n%(len(e.steps(k))+1), n/(len(e.steps(k))+1)
				}
				if e.fits(chosen) {
					fitting = append(fitting, chosen)
				}
			}
			maximal := 0
			for _, a := range fitting {
				if !slices.ContainsFunc(fitting, func(b []int) bool { return dominates(b, a) }) {
					maximal++
				}
			}
			if complete && len(sets) != maximal {
				t.Fatalf("circuit %d: %d sets, trying gives %d", c, len(sets), maximal)
			}
			for _, set := range sets {
				if set.AmpsA > p.LimitA(c)+1e-9 {
					t.Fatalf("a set of %v A on %v A", set.AmpsA, p.LimitA(c))
				}
			}
		}
	})
}

func dominates(b, a []int) bool {
	more := false
	for k := range a {
		if b[k] < a[k] {
			return false
		}
		more = more || b[k] > a[k]
	}
	return more
}

func TestWorstOrderStartsTheBiggestLast(t *testing.T) {
	p := &Panel{VoltageV: 120, Circuits: []Circuit{{Name: "one", RatingA: 20}}, Loads: []Load{
		{Name: "big", Settings: amps(8), StartingA: 50, StartingTime: time.Second},
		{Name: "heater", Settings: amps(6)},
		{Name: "small", Settings: amps(3), StartingA: 9, StartingTime: time.Second},
	}}
	o := p.WorstOrder(uses(Use{0, 0}, Use{1, 0}, Use{2, 0}))
	if o.Uses[2].Load != 0 || math.Abs(o.PeakA-59) > 1e-9 || o.Refused >= 0 || o.Margin <= 0 {
		t.Fatalf("%+v", o)
	}
	p.Loads[0].StartingA = 95 // 104 A is above five times 20 A
	if o := p.WorstOrder(uses(Use{0, 0}, Use{1, 0}, Use{2, 0})); o.Refused != 2 || o.Uses[2].Load != 0 {
		t.Fatalf("%+v", o)
	}
}

func TestTogetherCountMatchesTrying(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := randomPanel(rapidDice(t), 8)
		got, best := p.TogetherCount(), 0
		for mask := range 1 << len(p.Loads) {
			count, ok := p.tryTogether(mask)
			if ok {
				best = max(best, count)
			}
		}
		if got != best {
			t.Fatalf("%d together, trying gives %d", got, best)
		}
	})
}

// tryTogether sums the loads of a mask, with those that are on in any case.
func (p *Panel) tryTogether(mask int) (count int, ok bool) {
	sums := map[pole]float64{}
	chosen := map[pole]bool{}
	for i := range p.Loads {
		l := &p.Loads[i]
		always := l.Cycles || l.StaysOn
		if mask>>i&1 == 1 && (always || l.Alone) || mask>>i&1 == 0 && !always {
			if mask>>i&1 == 1 {
				return 0, false
			}
			continue
		}
		poles, n := p.polesOf(l.Circuit)
		for _, pl := range poles[:n] {
			sums[pl] += p.worstCounted(i)
			chosen[pl] = chosen[pl] || !always
		}
		if !always {
			count++
		}
	}
	for pl, sum := range sums {
		if chosen[pl] && sum > p.limitOf(pl)+slackA {
			return 0, false
		}
	}
	return count, true
}

func TestProposesTheOneMove(t *testing.T) {
	p := &Panel{VoltageV: 120, Circuits: []Circuit{{Name: "full", RatingA: 15}, {Name: "free", RatingA: 20}}, Loads: []Load{
		{Name: "washer", Circuit: 0, Settings: amps(14), Alone: true},
		{Name: "blower", Circuit: 0, Settings: amps(8)},
		{Name: "fans", Circuit: 0, Settings: amps(9)},
		{Name: "oven", Circuit: 0, Settings: amps(7), HardWired: true},
		{Name: "spinner", Circuit: 1, Settings: amps(9)},
	}}
	best, ok := p.ProposeMoves(1, nil)
	if !ok || len(best.Moves) != 1 || best.Moves[0] != (Move{2, 0, 1}) || best.Together != 4 || best.Before != 3 {
		t.Fatalf("%v %+v", ok, best)
	}
	// A rehearsal decides between moves that let equally many run together.
	p.Circuits[1].RatingA, p.Loads[2].Settings[0].AmpsA = 25, 8
	best, _ = p.ProposeMoves(1, func(q *Panel) time.Duration {
		if q.Loads[1].Circuit == 1 {
			return 20 * time.Minute
		}
		return 10 * time.Minute
	})
	if best.Moves[0].Load != 1 || best.Gain != 20*time.Minute {
		t.Fatalf("%+v", best)
	}
	sound, ok := smallShed().ProposeMoves(2, nil)
	if ok {
		t.Fatalf("nothing to win, yet proposes %+v", sound)
	}
}

// A circuit with very many loads is answered all the same.
func TestMaximalSetsOfACrowd(t *testing.T) {
	p := &Panel{VoltageV: 120, Circuits: []Circuit{{Name: "one", RatingA: 20}}}
	for i := range 40 {
		p.Loads = append(p.Loads, Load{Name: string(rune('A' + i)), Settings: amps(0.5 + float64(i)/10)})
	}
	sets, complete := p.MaximalSets(0)
	if len(sets) == 0 || complete {
		t.Fatalf("%d sets, complete %v", len(sets), complete)
	}
}
