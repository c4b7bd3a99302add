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

// How much is looked at: single moves, of which the best are tried with a second one, and
// proposals that the interlock is asked about and that are rehearsed.
const (
	maxPaired    = 200
	maxFirst     = 8 // of them, in a shed that has more
	maxJudged    = 60
	maxRehearsed = 6
)

// ProposeMoves looks for the plugs to move, at most most (1 or 2), so that the most
// loads can run together; among equals fewer moves, then the greater gain, then
// the more even circuits. Gain, when not nil, says how much earlier the day ends
// with a changed panel. Nothing is proposed when no move lets more run together,
// unless one gains time; nor what adds a finding, or what the interlock refuses in any
// order of starting. Loads that are wired in, run alone or cycle by themselves
// stay where they are. Whether a plug and a wire may be moved is for an electrician.
func (p *Panel) ProposeMoves(most int, gain func(*Panel) time.Duration) (Proposal, bool) {
	before := p.TogetherCount()
	propose := func(moves ...Move) ranked {
		q := p.moved(moves...)
		return ranked{Proposal{Moves: moves, Together: q.TogetherCount(), Before: before}, q.unevenness()}
	}
	var found []ranked
	p.eachMove(func(a Move) { found = append(found, propose(a)) })
	slices.SortStableFunc(found, compareRanked)
	if most > 1 {
		single, first := found[:min(len(found), maxPaired)], maxFirst
		if len(found) <= maxPaired {
			first = len(found)
		}
		for i, a := range single[:min(first, len(single))] {
			for k, b := range single {
				if a, b := a.Moves[0], b.Moves[0]; a.Load != b.Load && (k > i || k >= first) {
					found = append(found, propose(a, b))
				}
			}
		}
		slices.SortStableFunc(found, compareRanked)
	}
	found = p.sound(found[:min(len(found), maxJudged)])
	if len(found) == 0 {
		return Proposal{}, false
	}
	if gain != nil {
		rehearse(p, found, gain)
	}
	best := found[0].Proposal
	return best, best.Together > before || best.Gain > 0 && best.Together == before
}

// sound are the first proposals that add no finding and that the interlock lets start in
// every order: each set of loads that then may run on a circuit with a moved one on it.
func (p *Panel) sound(found []ranked) (out []ranked) {
	known := p.findingKeys()
	for _, r := range found {
		q := p.moved(r.Moves...)
		adds := false
		for key := range q.findingKeys() {
			adds = adds || !known[key]
		}
		if !adds && !slices.ContainsFunc(r.Moves, func(m Move) bool { return !q.startsInAnyOrder(m) }) {
			if out = append(out, r); len(out) == maxRehearsed {
				break
			}
		}
	}
	return out
}

// findingKeys tells findings apart: by the rule and the load, or by the rule and the
// circuit where it is about a whole one.
func (p *Panel) findingKeys() map[[3]any]bool {
	out := map[[3]any]bool{}
	for _, f := range p.Findings() {
		if f.Load >= 0 {
			f.Circuit = -1
		}
		out[[3]any{f.Rule, f.Load, f.Circuit}] = true
	}
	return out
}

// startsInAnyOrder says whether a moved load can be started on its new circuit beside all
// that may run there with it, whatever is started first.
func (p *Panel) startsInAnyOrder(m Move) bool {
	sets, complete := p.MaximalSets(m.To)
	runs := false
	for _, set := range sets {
		if slices.ContainsFunc(set.Uses, func(u Use) bool { return u.Load == m.Load }) {
			if o := p.WorstOrder(set.Uses); o.Refused >= 0 {
				return false
			}
			runs = true
		}
	}
	return complete && runs
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
		found[k].Gain = gain(p.moved(found[k].Moves...))
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

func (p *Panel) moved(moves ...Move) *Panel {
	q := *p
	q.Loads = slices.Clone(p.Loads)
	for _, m := range moves {
		q.Loads[m.Load].Circuit = m.To
	}
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
