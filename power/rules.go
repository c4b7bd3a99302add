package power

import "shedbell/line/say"

// Rule is one reason why a start may be refused, or why a wiring deserves a
// second look.
type Rule interface {
	Name() string   // stable for scripts
	Source() string // where it comes from
	Text() string   // what it says, in one sentence
}

// startRule is a rule that can refuse a start.
type startRule interface {
	Rule
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

// Rules lists every rule, those that refuse a start before those of the wiring
// check.
func Rules() []Rule {
	var all []Rule
	for _, r := range startRules {
		all = append(all, r)
	}
	for _, r := range wiringRules {
		all = append(all, r)
	}
	return all
}

// SteadySum holds the running current of a circuit to its breaker's rating.
type SteadySum struct{}

// Name returns the rule's stable name.
func (SteadySum) Name() string { return RuleRating }

// Source says where the rule comes from.
func (SteadySum) Source() string {
	return "UL 489 and IEC 60898-1: a breaker is promised to hold its rating, no more"
}

// Text is the rule in one sentence.
func (SteadySum) Text() string {
	return "What runs on a circuit stays at or below its breaker's rating."
}

func (SteadySum) refuses(w weighing) bool { return w.poles[0].overSum(w.rises) }

// FeederAndLeg holds each leg of a feeder to the feeder's rating.
type FeederAndLeg struct{}

// Name returns the rule's stable name.
func (FeederAndLeg) Name() string { return RuleFeeder }

// Source says where the rule comes from.
func (FeederAndLeg) Source() string { return SteadySum{}.Source() }

// Text is the rule in one sentence.
func (FeederAndLeg) Text() string {
	return "Each leg of a feeder stays at or below the feeder's rating; a 240 V load counts on both."
}

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

// Name returns the rule's stable name.
func (ContinuousLoad) Name() string { return RuleContinuous }

// Source says where the rule comes from.
func (ContinuousLoad) Source() string { return "NEC 210.20(A), 215.3 and Article 100" }

// Text is the rule in one sentence.
func (ContinuousLoad) Text() string {
	return "A load on for three hours or more counts 125 percent, unless the breaker is marked for 100 percent."
}

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

// Name returns the rule's stable name.
func (StartingCurrent) Name() string { return RuleStarting }

// Source says where the rule comes from.
func (StartingCurrent) Source() string {
	return "UL 489 and IEC 60898-1 points, thermal model of IEC 60255-149; UL's fast edge 0.8 of a published 15 A band, its instantaneous floor from memory"
}

// Text is the rule in one sentence.
func (StartingCurrent) Text() string {
	return "A start is over before the quickest breaker of its kind could trip, as warm as it is now."
}

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

// Name returns the rule's stable name.
func (StartingOverlap) Name() string { return RuleOverlap }

// Source says where the rule comes from.
func (StartingOverlap) Source() string { return "common practice, no source" }

// Text is the rule in one sentence.
func (StartingOverlap) Text() string {
	return "No motor starts while another on its circuit is still starting."
}

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

// Name returns the rule's stable name.
func (RunsAlone) Name() string { return RuleAlone }

// Source says where the rule comes from.
func (RunsAlone) Source() string { return "the line file; common practice, no source" }

// Text is the rule in one sentence.
func (RunsAlone) Text() string {
	return "A load that runs alone starts and runs with everything off that can be switched off."
}

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

// Name returns the rule's stable name.
func (SelfCycling) Name() string { return RuleReserved }

// Source says where the rule comes from.
func (SelfCycling) Source() string { return "common practice, no source" }

// Text is the rule in one sentence.
func (SelfCycling) Text() string {
	return "A load that starts and stops by itself is counted at its worst moment, even while it is off."
}

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

// Name returns the rule's stable name.
func (UnknownAmps) Name() string { return RuleUnknown }

// Source says where the rule comes from.
func (UnknownAmps) Source() string { return "common practice, no source" }

// Text is the rule in one sentence.
func (UnknownAmps) Text() string {
	return "A load without amps does not start, and nothing starts beside one that is on."
}

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

// Tripped refuses starts behind an open breaker.
type Tripped struct{}

// Name returns the rule's stable name.
func (Tripped) Name() string { return RuleTripped }

// Source says where the rule comes from.
func (Tripped) Source() string { return "common practice, no source" }

// Text is the rule in one sentence.
func (Tripped) Text() string {
	return "Nothing starts behind a breaker that has tripped until it is marked as reset."
}

func (Tripped) refuses(w weighing) bool { return w.s.Open(w.p.Loads[w.q.Load].Circuit) }
