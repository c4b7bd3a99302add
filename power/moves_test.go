package power

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// Every proposal on random sheds is held against the interlock alone: whatever may run on
// the new circuit with a moved load, by Judge in some order, is started in every order, one
// straight after the other. No finding is new, and no wet machine leaves its protection.
func TestProposalsSurviveEveryOrder(t *testing.T) {
	proposed := 0
	for seed := range uint64(3000) {
		d := dice(rand.New(rand.NewPCG(seed, 18)).IntN)
		p := randomPanel(d, 6)
		for c := range p.Circuits {
			p.Circuits[c].GFCI = d.chance(50)
		}
		for i := range p.Loads {
			p.Loads[i].Wet = d.chance(40)
		}
		pr, ok := p.ProposeMoves(2, nil)
		if !ok {
			continue
		}
		proposed++
		q := *p
		q.Loads = slices.Clone(p.Loads)
		for _, m := range pr.Moves {
			if l := &q.Loads[m.Load]; l.Wet && p.Circuits[m.From].protected() && !p.Circuits[m.To].protected() {
				t.Errorf("shed %d: %s is wet and loses its protection", seed, l.Name)
			}
			q.Loads[m.Load].Circuit = m.To
		}
		if a, b := len(p.Findings()), len(q.Findings()); b > a {
			t.Errorf("shed %d: %d findings become %d", seed, a, b)
		}
		for _, m := range pr.Moves {
			var there []int
			for i := range q.Loads {
				if l := &q.Loads[i]; l.Circuit == m.To && !l.Cycles && !l.StaysOn && l.WorstA() > 0 {
					there = append(there, i)
				}
			}
			everyOrder(t, seed, &q, there, m.Load)
		}
	}
	if proposed < 100 {
		t.Errorf("only %d sheds have a proposal", proposed)
	}
}

// everyOrder starts all subsets with the moved load that can be started in one order in
// every other one.
func everyOrder(t *testing.T, seed uint64, q *Panel, there []int, moved int) {
	t.Helper()
	for mask := range 1 << len(there) {
		var set []int
		for k, i := range there {
			if mask>>k&1 == 1 {
				set = append(set, i)
			}
		}
		if !slices.Contains(set, moved) {
			continue
		}
		can, cannot := []int(nil), []int(nil)
		orders(set, 0, func(order []int) {
			if judged(q, order) {
				can = slices.Clone(order)
			} else {
				cannot = slices.Clone(order)
			}
		})
		if can != nil && cannot != nil {
			t.Errorf("shed %d: loads %v start, %v do not", seed, can, cannot)
			return
		}
	}
}

func orders(set []int, k int, visit func([]int)) {
	if k == len(set) {
		visit(set)
	}
	for i := k; i < len(set); i++ {
		set[k], set[i] = set[i], set[k]
		orders(set, k+1, visit)
		set[k], set[i] = set[i], set[k]
	}
}

func judged(q *Panel, order []int) bool {
	now := time.Date(2000, 1, 1, 1, 0, 0, 0, time.UTC)
	s := q.Rested(now.Add(-time.Hour))
	for _, i := range order {
		hungriest := 0
		for k, st := range q.Loads[i].Settings {
			if st.AmpsA > q.Loads[i].Settings[hungriest].AmpsA {
				hungriest = k
			}
		}
		if !q.Judge(s, Ask{Load: i, Setting: hungriest}, now).Allowed {
			return false
		}
		s = s.Switched(q, i, Status{On: true, Setting: hungriest, Since: now}, now)
		now = now.Add(q.Loads[i].StartingTime)
	}
	return true
}

// Two hundred loads on forty circuits.
func BenchmarkProposeMovesOfAHall(b *testing.B) {
	p := &Panel{VoltageV: 120}
	for c := range 40 {
		p.Circuits = append(p.Circuits, Circuit{Name: string(rune('A' + c)), RatingA: []float64{15, 20}[c%2]})
	}
	for i := range 200 {
		p.Loads = append(p.Loads, Load{Name: "load", Circuit: (i * i) % 40, Settings: amps(1 + float64(i%9))})
	}
	for b.Loop() {
		p.ProposeMoves(2, nil)
	}
}
