package power

import (
	"cmp"
	"slices"
	"time"
)

// Use is a load at one of its settings.
type Use struct{ Load, Setting int }

// Together is a set of loads of one circuit that may run at once, so full that
// nothing can join it and no load in it can go to a hungrier setting.
type Together struct {
	Uses  []Use
	AmpsA float64 // with what is reserved for loads that cycle by themselves
}

// Bounds of the list for a circuit with very many loads.
const (
	maxTogether = 500
	maxVisits   = 100_000
)

// MaximalSets lists the sets of a circuit's loads that may run at once, fullest
// first. Loads that cycle by themselves are always in; a load that runs alone is
// only beside what stays on. Feeders are left aside. Complete is false
// when the circuit has so many sets that the list was cut short.
func (p *Panel) MaximalSets(circuit int) (sets []Together, complete bool) {
	e := enumeration{p: p, circuit: circuit, limit: p.LimitA(circuit)}
	for i := range p.Loads {
		if p.Loads[i].Circuit == circuit && !p.Loads[i].Cycles && p.Loads[i].WorstA() > 0 {
			e.loads = append(e.loads, i)
		}
	}
	chosen := make([]int, len(e.loads))
	if e.fits(chosen) {
		e.extend(0, chosen)
	}
	slices.SortStableFunc(e.found, func(a, b Together) int { return cmp.Compare(b.AmpsA, a.AmpsA) })
	return e.found, len(e.found) < maxTogether && e.visits < maxVisits
}

// enumeration walks all combinations of settings; chosen holds for each load its
// place in order of current, 0 for off.
type enumeration struct {
	p       *Panel
	circuit int
	limit   float64
	loads   []int
	found   []Together
	visits  int
}

func (e *enumeration) extend(k int, chosen []int) {
	if e.visits++; len(e.found) >= maxTogether || e.visits >= maxVisits || e.hopeless(k, chosen) {
		return
	}
	if k == len(e.loads) {
		if e.maximal(chosen) {
			e.found = append(e.found, e.together(chosen))
		}
		return
	}
	for step := len(e.steps(k)); step >= 0; step-- {
		chosen[k] = step
		if e.fits(chosen) {
			e.extend(k+1, chosen)
		}
	}
	chosen[k] = 0
}

// hopeless says whether some decided load would still have room for its next
// setting with all undecided loads at their worst, so that no maximal set follows.
func (e *enumeration) hopeless(k int, chosen []int) bool {
	most := e.counted(chosen)
	for _, i := range e.loads[k:] {
		most += 1.25 * e.p.Loads[i].WorstA()
	}
	for j, step := range chosen[:k] {
		l := &e.p.Loads[e.loads[j]]
		steps := e.steps(j)
		if l.Alone || step == len(steps) || e.anyAlone(chosen, k) {
			continue
		}
		if most+1.25*l.Settings[steps[step]].AmpsA <= e.limit && !l.Continuous {
			return true
		}
	}
	return false
}

// anyAlone says whether a load that runs alone is in the set or may come.
func (e *enumeration) anyAlone(chosen []int, k int) bool {
	for j, i := range e.loads {
		if e.p.Loads[i].Alone && (j >= k || chosen[j] > 0) {
			return true
		}
	}
	return false
}

// steps lists the known settings of the k-th load by rising current.
func (e *enumeration) steps(k int) []int {
	l := &e.p.Loads[e.loads[k]]
	var steps []int
	for i := range l.Settings {
		if l.Settings[i].AmpsA > 0 {
			steps = append(steps, i)
		}
	}
	slices.SortStableFunc(steps, func(a, b int) int { return cmp.Compare(l.Settings[a].AmpsA, l.Settings[b].AmpsA) })
	return steps
}

func (e *enumeration) fits(chosen []int) bool {
	alone, others := 0, 0
	for k, step := range chosen {
		switch l := &e.p.Loads[e.loads[k]]; {
		case step == 0:
		case l.Alone:
			alone++
		case !l.StaysOn:
			others++
		}
	}
	if alone > 1 || alone == 1 && others > 0 {
		return false
	}
	return e.counted(chosen) <= e.limit+slackA
}

// counted is the current of a choice with continuous loads at 125 percent.
func (e *enumeration) counted(chosen []int) float64 {
	t := e.together(chosen)
	counted := t.AmpsA
	if !e.p.Circuits[e.circuit].Rated100 {
		for _, u := range t.Uses {
			if l := &e.p.Loads[u.Load]; l.Continuous {
				counted += (1.25 - 1) * l.Settings[u.Setting].AmpsA
			}
		}
	}
	return counted
}

func (e *enumeration) maximal(chosen []int) bool {
	for k := range chosen {
		if chosen[k] == len(e.steps(k)) {
			continue
		}
		chosen[k]++
		more := e.fits(chosen)
		chosen[k]--
		if more {
			return false
		}
	}
	return true
}

func (e *enumeration) together(chosen []int) Together {
	var t Together
	for i := range e.p.Loads {
		if l := &e.p.Loads[i]; l.Circuit == e.circuit && l.Cycles {
			t.Uses = append(t.Uses, Use{i, l.hungriest()})
			t.AmpsA += l.WorstA()
		}
	}
	for k, step := range chosen {
		if step > 0 {
			setting := e.steps(k)[step-1]
			t.Uses = append(t.Uses, Use{e.loads[k], setting})
			t.AmpsA += e.p.settingA(e.loads[k], setting)
		}
	}
	slices.SortFunc(t.Uses, func(a, b Use) int { return cmp.Compare(a.Load, b.Load) })
	return t
}

func (l *Load) hungriest() int {
	worst := 0
	for i := range l.Settings {
		if l.Settings[i].AmpsA > l.Settings[worst].AmpsA {
			worst = i
		}
	}
	return worst
}

// Order is a sequence of starts on cold breakers, each as soon as the one before
// has started.
type Order struct {
	Uses    []Use
	PeakA   float64       // highest current on the circuit
	Margin  time.Duration // smallest margin of any start; Never when there is nothing to trip on
	Refused int           // place in Uses of the first refused start, -1 when all are allowed
}

// maxPermuted is how many loads are tried in every order; beyond it only the order
// by rising starting current is looked at, which puts the highest peak last.
const maxPermuted = 6

// WorstOrder finds the order of starting a set of uses that comes closest to a
// trip: a refused start before an allowed one, then the smallest margin, then the
// highest peak.
func (p *Panel) WorstOrder(uses []Use) Order {
	var own []Use
	for _, u := range uses {
		if !p.Loads[u.Load].Cycles {
			own = append(own, u)
		}
	}
	slices.SortStableFunc(own, func(a, b Use) int { return cmp.Compare(p.inrushA(a), p.inrushA(b)) })
	worst := p.playOrder(own)
	if len(own) <= maxPermuted {
		permute(own, 0, func(order []Use) {
			if o := p.playOrder(order); o.worse(&worst) {
				worst = o
			}
		})
	}
	return worst
}

func (p *Panel) inrushA(u Use) float64 {
	return max(0, p.Loads[u.Load].StartingA-p.settingA(u.Load, u.Setting))
}

func (o *Order) worse(than *Order) bool {
	switch {
	case (o.Refused >= 0) != (than.Refused >= 0):
		return o.Refused >= 0
	case o.Margin != than.Margin:
		return o.Margin < than.Margin
	}
	return o.PeakA > than.PeakA+slackA
}

// playOrder starts the uses one after the other, refused ones as well.
func (p *Panel) playOrder(uses []Use) Order {
	o := Order{Uses: slices.Clone(uses), Margin: Never, Refused: -1}
	s := NewState(p)
	now := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	for k, u := range uses {
		w := p.weigh(s, Ask{Load: u.Load, Setting: u.Setting}, now)
		v := w.figures()
		if o.Refused < 0 && !w.allowed() {
			o.Refused = k
		}
		o.Margin = min(o.Margin, v.Margin)
		o.PeakA = max(o.PeakA, w.poles[0].start.peakA)
		s = s.Switched(p, u.Load, Status{On: true, Setting: u.Setting, Since: now}, now)
		now = now.Add(p.Loads[u.Load].StartingTime)
	}
	return o
}

// permute calls visit with every order of the uses.
func permute(uses []Use, k int, visit func([]Use)) {
	if k == len(uses) {
		visit(uses)
		return
	}
	for i := k; i < len(uses); i++ {
		uses[k], uses[i] = uses[i], uses[k]
		permute(uses, k+1, visit)
		uses[k], uses[i] = uses[i], uses[k]
	}
}
