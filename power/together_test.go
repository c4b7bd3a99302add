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

// Against every combination of settings, each asked of the interlock in every order.
func TestMaximalSetsAreAllOfThem(t *testing.T) {
	found, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := randomPanel(rapidDice(t), 5)
		for c := range p.Circuits {
			sets, complete := p.MaximalSets(c)
			var loads []int
			for i := range p.Loads {
				if l := &p.Loads[i]; l.Circuit == c && !l.Cycles && !l.StaysOn && l.WorstA() > 0 {
					loads = append(loads, i)
				}
			}
			var fitting [][]int
			total := 1
			for _, i := range loads {
				total *= len(p.Loads[i].rising()) + 1
			}
			for n := range total {
				chosen, uses := make([]int, len(loads)), []Use(nil)
				for k, i := range loads {
					steps := p.Loads[i].rising()
					chosen[k], n = n%(len(steps)+1), n/(len(steps)+1)
					if chosen[k] > 0 {
						uses = append(uses, Use{i, steps[chosen[k]-1]})
					}
				}
				if p.runsInSomeOrder(uses) {
					fitting = append(fitting, chosen)
				} else {
					refused++
				}
				if got := p.MayRun(uses); got != p.runsInSomeOrder(uses) {
					t.Fatalf("circuit %d: %+v may run %v", c, uses, got)
				}
			}
			maximal := 0
			for _, a := range fitting {
				if !slices.ContainsFunc(fitting, func(b []int) bool { return dominates(b, a) }) {
					maximal++
				}
			}
			if empty := len(fitting) == 1 && len(sets) == 0; complete && len(sets) != maximal && !empty {
				t.Fatalf("circuit %d: %d sets, trying gives %d", c, len(sets), maximal)
			}
			found += len(sets)
		}
	})
	if found == 0 || refused == 0 {
		t.Errorf("%d sets and %d refused combinations show nothing", found, refused)
	}
}

// runsInSomeOrder asks the interlock about every order of starts, each as soon as the one
// before has started.
func (p *Panel) runsInSomeOrder(uses []Use) bool {
	ok := len(uses) == 0
	permute(slices.Clone(uses), 0, func(order []Use) {
		s, now := p.Rested(atRestAt), atRestAt.Add(time.Hour)
		for _, u := range order {
			if !p.Allows(s, Ask{Load: u.Load, Setting: u.Setting}, now) {
				return
			}
			s = s.Switched(p, u.Load, Status{On: true, Setting: u.Setting, Since: now}, now)
			now = now.Add(p.Loads[u.Load].StartingTime)
		}
		ok = true
	})
	return ok
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
