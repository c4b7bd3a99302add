package power

import (
	"cmp"
	"slices"
	"time"
)

// Move is a plug taken from one circuit to another.
type Move struct{ Load, From, To int }

// Proposal is a set of moves and what it brings.
type Proposal struct {
	Moves    []Move
	Together int           // loads that could run at once afterwards, each at its hungriest setting
	Before   int           // the same as it is now
	Gain     time.Duration // how much earlier the day would be done; 0 when nobody rehearsed it
}

// maxRehearsed is how many of the equally good proposals are rehearsed.
const maxRehearsed = 6

// ProposeMoves looks for the plugs to move, at most most (1 or 2), so that the most
// loads can run together; among equals fewer moves, then the greater gain, then
// the more even circuits. Gain, when not nil, says how much earlier the day ends
// with a changed panel. Nothing is proposed when no move lets more run together,
// unless one gains time. Loads that are wired in, run alone or cycle by themselves
// stay where they are. Whether a plug and a wire may be moved is for an electrician.
func (p *Panel) ProposeMoves(most int, gain func(*Panel) time.Duration) (Proposal, bool) {
	before := p.TogetherCount()
	var found []ranked
	p.eachMove(func(a Move) {
		one := p.moved(a)
		found = append(found, ranked{Proposal{Moves: []Move{a}, Together: one.TogetherCount(), Before: before}, one.unevenness()})
		if most < 2 {
			return
		}
		one.eachMove(func(b Move) {
			if b.Load <= a.Load {
				return
			}
			two := one.moved(b)
			found = append(found, ranked{Proposal{Moves: []Move{a, b}, Together: two.TogetherCount(), Before: before}, two.unevenness()})
		})
	})
	if len(found) == 0 {
		return Proposal{}, false
	}
	slices.SortStableFunc(found, compareRanked)
	if gain != nil {
		rehearse(p, found[:min(maxRehearsed, len(found))], gain)
	}
	best := found[0].Proposal
	return best, best.Together > before || best.Gain > 0 && best.Together == before
}

type ranked struct {
	Proposal
	uneven float64
}

func compareRanked(a, b ranked) int {
	return cmp.Or(
		cmp.Compare(b.Together, a.Together),
		cmp.Compare(len(a.Moves), len(b.Moves)),
		cmp.Compare(b.Gain, a.Gain),
		cmp.Compare(a.uneven, b.uneven),
	)
}

// rehearse fills in the gain of the best few that let equally many run together,
// and puts them in order again.
func rehearse(p *Panel, found []ranked, gain func(*Panel) time.Duration) {
	for k := range found {
		if found[k].Together < found[0].Together {
			break
		}
		q := p
		for _, m := range found[k].Moves {
			q = q.moved(m)
		}
		found[k].Gain = gain(q)
	}
	slices.SortStableFunc(found, compareRanked)
}

// eachMove visits every plug and every circuit of the same voltage that can take it.
func (p *Panel) eachMove(visit func(Move)) {
	for i := range p.Loads {
		l := &p.Loads[i]
		if l.HardWired || l.Alone || l.Cycles || l.WorstA() == 0 {
			continue
		}
		for c := range p.Circuits {
			if c != l.Circuit && p.CircuitV(c) == p.CircuitV(l.Circuit) && l.WorstA() <= p.LimitA(c) {
				visit(Move{i, l.Circuit, c})
			}
		}
	}
}

func (p *Panel) moved(m Move) *Panel {
	q := *p
	q.Loads = slices.Clone(p.Loads)
	q.Loads[m.Load].Circuit = m.To
	return &q
}

// maxBothLegs is how many loads across both legs are tried in every combination.
const maxBothLegs = 8

// TogetherCount is how many loads can run at once on all circuits and feeders, each
// at its hungriest setting, beside what cycles by itself or stays on. Loads that
// run alone do not count. Among loads on one leg, taking the smallest first is
// exact, for a small one never displaces more than one larger; loads across both
// legs are tried in every combination.
func (p *Panel) TogetherCount() int {
	room := make([]float64, len(p.Circuits)+2*len(p.Feeders))
	for c := range p.Circuits {
		poles, n := p.polesOf(c)
		for _, pl := range poles[:n] {
			room[p.slot(pl)] = p.limitOf(pl)
		}
	}
	var oneLeg, bothLegs []int
	for i := range p.Loads {
		l := &p.Loads[i]
		_, n := p.polesOf(l.Circuit)
		switch {
		case l.Cycles || l.StaysOn:
			p.take(room, i)
		case l.Alone || l.WorstA() == 0:
		case n > 2 && len(bothLegs) < maxBothLegs:
			bothLegs = append(bothLegs, i)
		default:
			oneLeg = append(oneLeg, i)
		}
	}
	slices.SortFunc(oneLeg, func(a, b int) int { return cmp.Compare(p.Loads[a].WorstA(), p.Loads[b].WorstA()) })
	best := 0
	for mask := range 1 << len(bothLegs) {
		left, count := slices.Clone(room), 0
		for k, i := range bothLegs {
			if mask>>k&1 == 1 && p.roomFor(left, i) {
				p.take(left, i)
				count++
			}
		}
		for _, i := range oneLeg {
			if p.roomFor(left, i) {
				p.take(left, i)
				count++
			}
		}
		best = max(best, count)
	}
	return best
}

func (p *Panel) take(room []float64, load int) {
	poles, n := p.polesOf(p.Loads[load].Circuit)
	for _, pl := range poles[:n] {
		room[p.slot(pl)] -= p.worstCounted(load)
	}
}

func (p *Panel) roomFor(room []float64, load int) bool {
	poles, n := p.polesOf(p.Loads[load].Circuit)
	for _, pl := range poles[:n] {
		if p.worstCounted(load) > room[p.slot(pl)]+slackA {
			return false
		}
	}
	return true
}

func (p *Panel) worstCounted(load int) float64 {
	l := &p.Loads[load]
	if l.Continuous && !p.Circuits[l.Circuit].Rated100 {
		return p.Rules().continuous * l.WorstA()
	}
	return l.WorstA()
}

// unevenness is the fullest circuit's share of its limit with everything on.
func (p *Panel) unevenness() float64 {
	worst := 0.0
	for c := range p.Circuits {
		sum := 0.0
		for i := range p.Loads {
			if l := &p.Loads[i]; l.Circuit == c && !l.Alone {
				sum += l.WorstA()
			}
		}
		worst = max(worst, multiple(sum, p.LimitA(c)))
	}
	return worst
}
