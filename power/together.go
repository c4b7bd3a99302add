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
	maxVisits   = 5_000
)

// Rested is the state in which everything is off but what never is, on cold breakers.
func (p *Panel) Rested(now time.Time) State {
	s := NewState(p)
	for i := range p.Loads {
		if p.Loads[i].StaysOn {
			s = s.Switched(p, i, Status{On: true, Setting: p.Loads[i].hungriest(), Since: now}, now)
			s.Loads[i].Started = now.Add(-p.Loads[i].StartingTime) // it ran before
		}
	}
	return s
}

// MaximalSets lists the sets of a circuit's loads that the interlock lets run at once, each
// started in some order from rest, fullest first. What cycles by itself or is never
// switched off is always in. Complete is false when the circuit has so many sets that the
// list was cut short.
func (p *Panel) MaximalSets(circuit int) (sets []Together, complete bool) {
	e := newEnumeration(p, circuit)
	e.extend(0, make([]int, len(e.loads)))
	slices.SortStableFunc(e.found, func(a, b Together) int { return cmp.Compare(b.AmpsA, a.AmpsA) })
	return e.found, len(e.found) < maxTogether && e.visits < maxVisits
}

// MayRun says whether the interlock lets these loads of a panel run at once, started in some
// order from rest. Of more than eight some orders are not tried.
func (p *Panel) MayRun(uses []Use) bool {
	e := enumeration{p: p, circuit: -1, now: atRestAt, reached: map[string]*reached{}}
	for _, u := range uses {
		e.loads, e.settings = append(e.loads, u.Load), append(e.settings, []int{u.Setting})
	}
	return e.fits(slices.Repeat([]int{1}, len(uses)))
}

// atRestAt is when the starts of a question begin.
var atRestAt = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// enumeration walks all combinations of settings; chosen holds for each load its
// place in order of current, 0 for off.
type enumeration struct {
	p        *Panel
	circuit  int
	now      time.Time
	loads    []int
	settings [][]int // known ones of each, by rising current
	found    []Together
	visits   int
	reached  map[string]*reached
}

// reached is the coolest state in which a combination runs, and when; nil where the
// interlock lets it run in no order.
type reached struct {
	s   State
	now time.Time
}

func newEnumeration(p *Panel, circuit int) *enumeration {
	e := &enumeration{p: p, circuit: circuit, now: atRestAt, reached: map[string]*reached{}}
	for i := range p.Loads {
		if l := &p.Loads[i]; l.Circuit == circuit && !l.Cycles && !l.StaysOn && l.WorstA() > 0 {
			e.loads, e.settings = append(e.loads, i), append(e.settings, l.rising())
		}
	}
	return e
}

// rising lists the known settings by rising current.
func (l *Load) rising() []int {
	var steps []int
	for i := range l.Settings {
		if l.Settings[i].AmpsA > 0 {
			steps = append(steps, i)
		}
	}
	slices.SortStableFunc(steps, func(a, b int) int { return cmp.Compare(l.Settings[a].AmpsA, l.Settings[b].AmpsA) })
	return steps
}

func (e *enumeration) extend(k int, chosen []int) {
	if e.visits++; len(e.found) >= maxTogether || e.visits >= maxVisits {
		return
	}
	if k == len(e.loads) {
		if t := e.together(chosen); len(t.Uses) > 0 && e.maximal(chosen) {
			e.found = append(e.found, t)
		}
		return
	}
	for step := len(e.settings[k]); step >= 0; step-- {
		chosen[k] = step
		if e.fits(chosen) {
			e.extend(k+1, chosen)
		}
	}
	chosen[k] = 0
}

func (e *enumeration) fits(chosen []int) bool { return e.reach(chosen) != nil }

// reach is the state in which a combination runs, by the last start that leads there.
func (e *enumeration) reach(chosen []int) *reached {
	key := make([]byte, len(chosen))
	n := 0
	for k, step := range chosen {
		if key[k] = byte(step); step > 0 {
			n++
		}
	}
	if n == 0 {
		return &reached{e.p.Rested(e.now), e.now.Add(time.Hour)}
	}
	if r, ok := e.reached[string(key)]; ok {
		return r
	}
	var best *reached
	last := -1
	if n > mostOrders {
		last = e.leastStart(chosen)
	}
	for k, step := range chosen {
		if step == 0 || last >= 0 && k != last {
			continue
		}
		chosen[k] = 0
		before := e.reach(chosen)
		chosen[k] = step
		if before == nil {
			continue
		}
		ask := Ask{Load: e.loads[k], Setting: e.settings[k][step-1]}
		if w := e.p.weigh(before.s, ask, before.now); !w.allowed() {
			continue
		}
		next := &reached{before.s.Switched(e.p, ask.Load, Status{On: true, Setting: ask.Setting, Since: before.now}, before.now),
			before.now.Add(e.p.Loads[ask.Load].StartingTime)}
		if best == nil || e.p.hottest(next) < e.p.hottest(best) {
			best = next
		}
	}
	e.reached[string(key)] = best
	return best
}

// mostOrders is how many loads are tried in every order; of more, the one that starts with
// the least current comes last.
const mostOrders = 8

func (e *enumeration) leastStart(chosen []int) (last int) {
	last = -1
	for k, step := range chosen {
		if step > 0 && (last < 0 || e.p.inrushA(Use{e.loads[k], e.settings[k][step-1]}) < e.p.inrushA(Use{e.loads[last], e.settings[last][chosen[last]-1]})) {
			last = k
		}
	}
	return last
}

// hottest is the level of the warmest breaker.
func (p *Panel) hottest(r *reached) (level float64) {
	p.eachPole(func(pl pole) { level = max(level, p.heatOf(r.s, pl, r.now).Level) })
	return level
}

func (e *enumeration) maximal(chosen []int) bool {
	for k := range chosen {
		if chosen[k] == len(e.settings[k]) {
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
		if l := &e.p.Loads[i]; l.Circuit == e.circuit && (l.Cycles || l.StaysOn) {
			t.Uses = append(t.Uses, Use{i, l.hungriest()})
			t.AmpsA += l.WorstA()
		}
	}
	for k, step := range chosen {
		if step > 0 {
			setting := e.settings[k][step-1]
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
		if l := &p.Loads[u.Load]; !l.Cycles && !l.StaysOn {
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
	s, now := p.Rested(atRestAt), atRestAt.Add(time.Hour)
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
