package power

import "shedbell/line/say"

// startRule is a rule that can refuse a start.
type startRule interface {
	name() string
	refuses(w weighing) bool
	says(w weighing) say.Speech
}

// Rule names, stable for scripts.
const (
	RuleRating     = "rating"     // running current above the breaker's rating
	RuleAlone      = "alone"      // a load that runs alone meets another
	RuleUnknown    = "unknown"    // a load without amps
	RuleTripped    = "tripped"    // the breaker is open
	RuleContinuous = "continuous" // continuous loads at 125 percent
	RuleStarting   = "starting"   // starting current against the curve
	RuleOverlap    = "overlap"    // two motors starting at once
	RuleReserved   = "reserved"   // room kept for a load that cycles by itself
	RuleFeeder     = "feeder"     // a feeder or one of its legs
)

var startRules = [...]startRule{
	Tripped{}, UnknownAmps{}, SteadySum{}, FeederAndLeg{}, SelfCycling{}, ContinuousLoad{},
	StartingCurrent{}, StartingOverlap{}, RunsAlone{},
}

// SteadySum holds the running current of a circuit to its breaker's rating.
type SteadySum struct{}

func (SteadySum) name() string { return RuleRating }

func (SteadySum) refuses(w weighing) bool { return w.poles[0].overSum(w.rises) }

// FeederAndLeg holds each leg of a feeder to the feeder's rating.
type FeederAndLeg struct{}

func (FeederAndLeg) name() string { return RuleFeeder }

func (FeederAndLeg) refuses(w weighing) bool {
	for k := 1; k < w.n; k++ {
		if w.poles[k].overSum(w.rises) {
			return true
		}
	}
	return false
}

func (x *poleWeight) overSum(rises bool) bool { return rises && x.after > x.limit+slackA }

// ContinuousLoad counts what is on for three hours or more at 125 percent.
type ContinuousLoad struct{}

func (ContinuousLoad) name() string { return RuleContinuous }

func (r ContinuousLoad) refuses(w weighing) bool {
	_, bites := r.pole(&w)
	return bites
}

func (ContinuousLoad) pole(w *weighing) (int, bool) {
	for k := range w.n {
		if x := &w.poles[k]; w.rises && !w.exempt(k) && x.contNext > x.limit+slackA && !x.overSum(true) {
			return k, true
		}
	}
	return 0, false
}

// exempt says whether the pole's breaker may carry its full rating for ever.
func (w *weighing) exempt(k int) bool {
	c := w.poles[k].circuit
	return c >= 0 && w.p.Circuits[c].Rated100
}

// StartingCurrent holds a start against the quickest breaker that meets the
// standard, as warm as it is.
type StartingCurrent struct{}

func (StartingCurrent) name() string { return RuleStarting }

func (r StartingCurrent) refuses(w weighing) bool {
	_, bites := r.pole(&w)
	return bites
}

func (StartingCurrent) pole(w *weighing) (int, bool) {
	for k := range w.n {
		x := &w.poles[k]
		if !w.rises && !w.h.motor || x.start.fails == startFits {
			continue
		}
		if x.start.fails == startNoSpare && x.overSum(true) {
			continue // too much in any case, and said so
		}
		return k, true
	}
	return 0, false
}

// StartingOverlap keeps two motors of a circuit from starting together.
type StartingOverlap struct{}

func (StartingOverlap) name() string { return RuleOverlap }

func (StartingOverlap) refuses(w weighing) bool {
	if !w.h.motor || w.p.Loads[w.q.Load].StartingA <= 0 {
		return false
	}
	for i := range w.p.Loads {
		if w.startsNow(i) {
			return true
		}
	}
	return false
}

// startsNow says whether another load of the circuit still draws its starting
// current.
func (w *weighing) startsNow(i int) bool {
	if i == w.q.Load || w.p.Loads[i].Circuit != w.p.Loads[w.q.Load].Circuit || !w.s.Drawing(w.p, i, w.now) {
		return false
	}
	begin, end, ok := w.p.startEnd(w.s, i, noChange)
	return ok && !w.now.Before(begin) && w.now.Before(end)
}

// RunsAlone keeps everything that can be switched off away from a load that runs
// alone.
type RunsAlone struct{}

func (RunsAlone) name() string { return RuleAlone }

func (RunsAlone) refuses(w weighing) bool {
	if w.drawing {
		return false
	}
	for i := range w.p.Loads {
		if w.clashes(i) {
			return true
		}
	}
	return false
}

// clashes says whether a load that is on and the asked one may not run together.
func (w *weighing) clashes(i int) bool {
	if i == w.q.Load || !w.s.Drawing(w.p, i, w.now) {
		return false
	}
	l, o := &w.p.Loads[w.q.Load], &w.p.Loads[i]
	return l.Alone && !o.StaysOn || o.Alone && !l.StaysOn && !l.Cycles
}

// SelfCycling explains a refusal that would not be one without the room kept for
// loads that start by themselves.
type SelfCycling struct{}

func (SelfCycling) name() string { return RuleReserved }

func (SelfCycling) refuses(w weighing) bool {
	for k := range w.n {
		if x := &w.poles[k]; x.overSum(w.rises) && x.after-x.reserved <= x.limit+slackA {
			return true
		}
	}
	return false
}

// UnknownAmps refuses what nobody has the amps of.
type UnknownAmps struct{}

func (UnknownAmps) name() string { return RuleUnknown }

func (UnknownAmps) refuses(w weighing) bool { return w.unknown() >= 0 }

// unknown is the first load whose amps would be needed and are not known.
func (w *weighing) unknown() int {
	if !(w.p.settingA(w.q.Load, w.q.Setting) > 0) {
		return w.q.Load
	}
	for i := range w.p.Loads {
		l := &w.p.Loads[i]
		counts := w.s.Drawing(w.p, i, w.now) || w.s.reserved(w.p, i)
		if i == w.q.Load || !counts || w.p.countedA(w.s, i, w.now) > 0 {
			continue
		}
		for k := range w.n {
			if w.p.on(w.poles[k].pole, l.Circuit) {
				return i
			}
		}
	}
	return -1
}

// Tripped refuses starts where there is no power.
type Tripped struct{}

func (Tripped) name() string { return RuleTripped }

func (Tripped) refuses(w weighing) bool { return w.s.Open(w.p.Loads[w.q.Load].Circuit) }
