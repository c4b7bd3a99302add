package power

import (
	"math"
	"slices"
	"strings"
	"time"

	"shedbell/power/nec"
)

// openEnded is the disturbance of switching off a load that runs without a
// countdown: little, for nothing that is timed is broken off.
const openEnded = time.Minute

// choice is a load that may be switched off, with what that gives on each need.
type choice struct {
	load    int
	gives   [maxNeeds]float64
	milliA  int64 // its current, for ranking
	disturb int64 // seconds of a running countdown that would be broken off
}

// A pole may need room for the steady sum, for continuous loads and for the start.
const maxNeeds = 9

// offSearch looks for the best set of choices that meets every need. Best is
// the fewest loads, among those the fewest amps, among those the least disturbance,
// and then the first in name order.
type offSearch struct {
	choices []choice
	needs   [maxNeeds]float64
	n       int

	most      [][maxNeeds][]float64 // from each choice on, the sums of the largest gives
	leastA    [][]int64             // from each choice on, the sums of the smallest currents
	leastTime [][]int64
	picked    []int
	best      []int
	bestA     int64
	bestTime  int64
	steps     int
}

// maxSteps bounds the search for each set size, so that an answer takes less than
// 5 ms. One in a thousand random sheds with 40 loads reaches it, where ten or more
// loads have to go; such an answer works, but a better one may exist.
const maxSteps = 30_000

// smallestOff finds the smallest set of loads whose switching off lets the start
// through at once; nil when there is none. It never names what must stay on, nor
// a load whose batch would spoil.
func (w *weighing) smallestOff() []int {
	forced, ok := w.forcedOff()
	if !ok {
		return nil
	}
	srch := offSearch{}
	w.needs(&srch, forced)
	if srch.open() {
		w.choices(&srch, forced)
		if !srch.run() {
			return nil
		}
	}
	set := append(slices.Clone(forced), srch.bestLoads()...)
	slices.SortFunc(set, w.byName)
	if len(set) == 0 || !w.fitsWithout(set) {
		return nil
	}
	return set
}

func (w *weighing) byName(a, b int) int {
	return strings.Compare(w.p.Loads[a].Name, w.p.Loads[b].Name)
}

func (w *weighing) mayGo(i int) bool {
	return i != w.q.Load && w.s.Drawing(w.p, i, w.now) && !w.p.Loads[i].StaysOn && !w.s.Loads[i].Spoils
}

// forcedOff lists what has to go whatever the amps: what may not run together
// with the asked load, and a motor that is starting. Not ok when it may not.
func (w *weighing) forcedOff() (forced []int, ok bool) {
	alone, overlap := (RunsAlone{}).refuses(*w), (StartingOverlap{}).refuses(*w)
	for i := range w.p.Loads {
		if !(alone && w.clashes(i)) && !(overlap && w.startsNow(i)) {
			continue
		}
		if !w.mayGo(i) {
			return nil, false
		}
		forced = append(forced, i)
	}
	return forced, true
}

// offGives is what switching a load off gives on a pole: its current, and its
// current as the continuous rule counts it.
func (w *weighing) offGives(i int, x *poleWeight) (sum, cont float64) {
	if !w.p.on(x.pole, w.p.Loads[i].Circuit) {
		return 0, 0
	}
	a := w.p.countedA(w.s, i, w.now)
	left := 0.0
	if l := &w.p.Loads[i]; l.Cycles && !w.s.Loads[i].DeclaredOff {
		left = l.WorstA() // it still may start by itself
	}
	return a - left, (a - left) * w.p.continuousFactor(w.s, i, w.now)
}

// needs works out how much each pole is short of, once the forced loads are off.
func (w *weighing) needs(srch *offSearch, forced []int) {
	for k := range w.n {
		x := &w.poles[k]
		sum, cont := 0.0, 0.0
		for _, i := range forced {
			a, c := w.offGives(i, x)
			sum, cont = sum+a, cont+c
		}
		if !w.rises && !w.h.motor {
			continue
		}
		srch.needs[3*k] = x.after - sum - x.limit
		if !w.exempt(k) {
			srch.needs[3*k+1] = x.contNext - cont - x.limit
		}
		srch.needs[3*k+2] = w.startNeed(k, sum)
	}
	srch.n = 3 * w.n
}

// startNeed is the least running current that has to go, beyond what is off
// already, before the start fits the curve.
func (w *weighing) startNeed(k int, off float64) float64 {
	if w.startOn(k, off).fails == startFits {
		return 0
	}
	lo, hi := off, w.poles[k].after
	if w.startOn(k, hi).fails != startFits {
		return math.Inf(1)
	}
	for hi-lo > 1e-7 {
		if mid := (lo + hi) / 2; w.startOn(k, mid).fails == startFits {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi - off
}

func (w *weighing) choices(srch *offSearch, forced []int) {
	for i := range w.p.Loads {
		if !w.mayGo(i) || slices.Contains(forced, i) {
			continue
		}
		c := choice{load: i, disturb: int64(w.disturbance(i) / time.Second)}
		useful := false
		for k := range w.n {
			a, cont := w.offGives(i, &w.poles[k])
			c.gives[3*k], c.gives[3*k+1], c.gives[3*k+2] = a, cont, a
			useful = useful || a > 0
		}
		c.milliA = int64(math.Round(1000 * w.p.countedA(w.s, i, w.now)))
		if useful {
			srch.choices = append(srch.choices, c)
		}
	}
	slices.SortFunc(srch.choices, func(a, b choice) int { return w.byName(a.load, b.load) })
}

// disturbance is the running time that would be lost. A countdown that is over
// has nothing left to lose.
func (w *weighing) disturbance(i int) time.Duration {
	st := &w.s.Loads[i]
	switch {
	case st.Until.IsZero():
		return openEnded
	case !st.Until.After(w.now):
		return 0
	}
	return openEnded + max(0, w.now.Sub(st.Since))
}

func (srch *offSearch) open() bool {
	for _, need := range srch.needs[:srch.n] {
		if need > slackA {
			return true
		}
	}
	return false
}

// run tries growing set sizes, so that the first size with a solution is the
// smallest.
func (srch *offSearch) run() bool {
	srch.prepare()
	for size := 1; size <= len(srch.choices); size++ {
		srch.bestA, srch.bestTime, srch.steps = math.MaxInt64, math.MaxInt64, 0
		srch.pick(0, size, srch.needs, 0, 0)
		if srch.best != nil {
			return true
		}
	}
	return false
}

// prepare sums up, from each choice to the last, the largest gives and the
// smallest costs, which bound what any further picks can do.
func (srch *offSearch) prepare() {
	n := len(srch.choices)
	srch.most = make([][maxNeeds][]float64, n+1)
	srch.leastA = make([][]int64, n+1)
	srch.leastTime = make([][]int64, n+1)
	for from := range n + 1 {
		rest := srch.choices[from:]
		for k := range srch.n {
			if srch.needs[k] > slackA {
				srch.most[from][k] = sums(rest, func(c choice) float64 { return -c.gives[k] })
			}
		}
		srch.leastA[from] = sums(rest, func(c choice) int64 { return c.milliA })
		srch.leastTime[from] = sums(rest, func(c choice) int64 { return c.disturb })
	}
}

// sums returns the sums of the 0, 1, 2, ... smallest values.
func sums[T int64 | float64](choices []choice, value func(choice) T) []T {
	vals := make([]T, len(choices))
	for i, c := range choices {
		vals[i] = value(c)
	}
	slices.Sort(vals)
	out := make([]T, len(vals)+1)
	for i, v := range vals {
		out[i+1] = out[i] + v
	}
	return out
}

// pick extends the picked set by size more choices from index from on.
func (srch *offSearch) pick(from, size int, needs [maxNeeds]float64, milliA, disturb int64) {
	if srch.steps++; len(srch.choices)-from < size || srch.steps > maxSteps {
		return
	}
	a, t := milliA+srch.leastA[from][size], disturb+srch.leastTime[from][size]
	for k := range srch.n {
		if needs[k] <= slackA {
			continue
		}
		if needs[k]+srch.most[from][k][size] > slackA {
			return
		}
		// Whatever is picked has to draw what is needed.
		draw := 1000 * needs[k]
		if k%3 == 1 {
			draw /= nec.ContinuousFactor
		}
		a = max(a, milliA+int64(draw-float64(size)))
	}
	if a > srch.bestA || a == srch.bestA && t >= srch.bestTime {
		return
	}
	if size == 0 {
		srch.best = slices.Clone(srch.picked)
		srch.bestA, srch.bestTime = milliA, disturb
		return
	}
	c := &srch.choices[from]
	left := needs
	for k := range srch.n {
		left[k] -= c.gives[k]
	}
	srch.picked = append(srch.picked, from)
	srch.pick(from+1, size-1, left, milliA+c.milliA, disturb+c.disturb)
	srch.picked = srch.picked[:len(srch.picked)-1]
	srch.pick(from+1, size, needs, milliA, disturb)
}

func (srch *offSearch) bestLoads() []int {
	var out []int
	for _, k := range srch.best {
		out = append(out, srch.choices[k].load)
	}
	return out
}

// fitsWithout checks the answer with the rules themselves.
func (w *weighing) fitsWithout(set []int) bool {
	s := w.s
	for _, i := range set {
		s = s.Switched(w.p, i, Status{DeclaredOff: s.Loads[i].DeclaredOff}, w.now)
	}
	return w.p.Allows(s, w.q, w.now)
}
