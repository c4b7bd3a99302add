package power

import (
	"fmt"
	"math"
	"slices"
	"time"

	"shedbell/line/say"
)

// Where names the circuit or feeder leg that binds.
func (v *Verdict) Where() say.Sentence {
	switch v.Leg {
	case LegA:
		return say.New("feeder %q leg A", v.Circuit)
	case LegB:
		return say.New("feeder %q leg B", v.Circuit)
	}
	return say.New("%q", v.Circuit)
}

// Says is the whole answer, sentence by sentence.
func (v *Verdict) Says() say.Speech {
	if v.Allowed {
		return say.Speech{say.New("%s would carry %.1f of %.4g A: room for %.1f A more.", v.Where(), v.AmpsAfter, v.LimitA, v.MarginA)}
	}
	says := say.Speech{say.New("Not now:")}
	amps := v.Circuit == ""
	for _, r := range v.Reasons {
		says = append(says, r.Says...)
		amps = amps || slices.Contains(sayAmps, r.Rule)
	}
	if !amps {
		says = append(says, say.New("%s carries %.1f A now and would carry %.1f of %.4g A.", v.Where(), v.AmpsNow, v.AmpsAfter, v.LimitA))
	}
	return append(says, v.WayOut...)
}

// sayAmps are the rules whose reasons give the amperes before and after by themselves.
var sayAmps = []string{RuleRating, RuleFeeder, RuleContinuous, RuleStarting}

// explain puts the refusal into words. Behind an open breaker nothing else matters.
func (w *weighing) explain(v *Verdict) {
	for _, r := range startRules {
		if r.refuses(*w) {
			v.Reasons = append(v.Reasons, Reason{r.Name(), r.says(*w)})
		}
		if r == (Tripped{}) && len(v.Reasons) > 0 {
			break
		}
	}
	v.WayOut = w.sayWayOut(v)
}

func (w *weighing) asked() *Load { return &w.p.Loads[w.q.Load] }

func (w *weighing) circuit() *Circuit { return &w.p.Circuits[w.asked().Circuit] }

// where names a pole.
func (w *weighing) where(x *poleWeight) say.Sentence {
	if x.circuit >= 0 {
		return say.New("%q", w.p.Circuits[x.circuit].Name)
	}
	v := Verdict{Circuit: w.p.Feeders[x.feeder].Name, Leg: w.legName(x)}
	if v.Leg == LegNone {
		return say.New("feeder %q", v.Circuit)
	}
	return v.Where()
}

func (w *weighing) sum(x *poleWeight) say.Speech {
	says := say.Speech{say.New("%s would carry %.1f of %.4g A: %.1f A now plus %.1f A.",
		w.where(x), x.after, x.limit, x.now, x.after-x.now)}
	if t := x.earliest(x.after, x.heat.Level); !math.IsInf(t, 1) {
		if trips := rough(t); trips == "" {
			says = append(says, say.New("It could trip at once."))
		} else {
			says = append(says, say.New("It could trip in about %s.", trips))
		}
	}
	return says
}

func (SteadySum) says(w weighing) say.Speech { return w.sum(&w.poles[0]) }

func (FeederAndLeg) says(w weighing) say.Speech {
	for k := 1; k < w.n; k++ {
		if w.poles[k].overSum(w.rises) {
			return w.sum(&w.poles[k])
		}
	}
	return nil
}

func (SelfCycling) says(w weighing) say.Speech {
	for k := range w.n {
		x := &w.poles[k]
		if !x.overSum(w.rises) || x.after-x.reserved > x.limit+slackA {
			continue
		}
		var kept []int
		for i := range w.p.Loads {
			if i != w.q.Load && w.p.on(x.pole, w.p.Loads[i].Circuit) && w.p.reservedA(w.s, i, w.now) > 0 {
				kept = append(kept, i)
			}
		}
		return say.Speech{say.New("%.1f A of it is kept for %s, which may start by itself.", x.reserved, w.p.names(kept))}
	}
	return nil
}

func (r ContinuousLoad) says(w weighing) say.Speech {
	k, _ := r.pole(&w)
	x := &w.poles[k]
	var long []int
	for i := range w.p.Loads {
		if !w.p.on(x.pole, w.p.Loads[i].Circuit) {
			continue
		}
		if i == w.q.Load && w.askedFactor() > 1 ||
			i != w.q.Load && w.p.continuousFactor(w.s, i, w.now) > 1 && w.p.countedA(w.s, i, w.now) > 0 {
			long = append(long, i)
		}
	}
	return say.Speech{say.New("%s would count %.1f of %.4g A, %.1f A now and %.1f A after: three hours or more counts 125 percent (%s).",
		w.where(x), x.contNext, x.limit, x.now, x.after, w.p.names(long))}
}

func (r StartingCurrent) says(w weighing) say.Speech {
	k, _ := r.pole(&w)
	x := &w.poles[k]
	if x.start.fails == startNoSpare {
		return say.Speech{say.New("%s would carry %.1f of %.4g A, %.1f A now: too full for what starts by itself.",
			w.where(x), x.after, x.limit, x.now)}
	}
	takes := say.New("Starting %s takes %s to %.1f A for %.2g s, %.1f A now and %.1f A after, limit %.4g A",
		w.asked().Name, w.where(x), x.start.peakA, w.asked().StartingTime.Seconds(), x.now, x.after, x.limit)
	if x.start.fails == startInstant {
		return say.Speech{say.New("%s: above %.4g times its rating it may trip at once.", takes, x.curve.Instant)}
	}
	cold := x.earliest(x.start.peakA, 0)
	warm, trips := cold-x.start.tripS > 0.1*cold, rough(x.start.tripS)
	switch {
	case trips == "" && warm:
		return say.Speech{say.New("%s: it could trip at once, warm as it is.", takes)}
	case trips == "":
		return say.Speech{say.New("%s: it could trip at once.", takes)}
	case warm:
		return say.Speech{say.New("%s: it could trip after %s, warm as it is.", takes, trips)}
	}
	return say.Speech{say.New("%s: it could trip after %s.", takes, trips)}
}

func (StartingOverlap) says(w weighing) say.Speech {
	var busy []int
	last := w.now
	for i := range w.p.Loads {
		if w.startsNow(i) {
			busy = append(busy, i)
			if _, end, _ := w.p.startEnd(w.s, i, noChange); end.After(last) {
				last = end
			}
		}
	}
	return say.Speech{say.New("%s is still starting on %q. Wait %.0f s.",
		w.p.names(busy), w.circuit().Name, math.Ceil(last.Sub(w.now).Seconds()))}
}

func (RunsAlone) says(w weighing) say.Speech {
	var on []int
	for i := range w.p.Loads {
		if w.clashes(i) {
			on = append(on, i)
		}
	}
	if !w.asked().Alone {
		return say.Speech{say.New("%s runs alone and is on.", w.p.names(on))}
	}
	return say.Speech{say.New("%s runs alone. On now: %s.", w.asked().Name, w.p.names(on))}
}

func (UnknownAmps) says(w weighing) say.Speech {
	i := w.unknown()
	if i == w.q.Load {
		return say.Speech{say.New("%s has no amps at %q. Read its nameplate and enter them.",
			w.asked().Name, w.asked().Settings[w.q.Setting].Name)}
	}
	return say.Speech{say.New("%s has no amps. Read its nameplate and enter them.", w.p.Loads[i].Name)}
}

func (Tripped) says(w weighing) say.Speech {
	return say.Speech{say.New("%q has tripped. Find out why, then reset it.", w.circuit().Name)}
}

// sayWayOut says what to switch off and when the start fits by itself.
func (w *weighing) sayWayOut(v *Verdict) say.Speech {
	off, confirm := w.p.names(v.SwitchOff), w.p.names(v.Confirm)
	waits, done := v.Earliest.After(w.now), !v.Earliest.IsZero() && !v.Earliest.After(w.now)
	switch {
	case len(off) > 0 && waits:
		return say.Speech{say.New("Switch off %s, or wait until %s.", off, clock(w.now, v.Earliest))}
	case len(off) > 0 && done && len(confirm) > 1:
		return say.Speech{say.New("Switch off %s, or confirm that %s are off.", off, confirm)}
	case len(off) > 0 && done:
		return say.Speech{say.New("Switch off %s, or confirm that %s is off.", off, confirm)}
	case len(off) > 0:
		return say.Speech{say.New("Switch off %s.", off)}
	case waits:
		return say.Speech{say.New("Wait until %s.", clock(w.now, v.Earliest))}
	case done && len(confirm) > 1:
		return say.Speech{say.New("Confirm that %s are off.", confirm)}
	case done:
		return say.Speech{say.New("Confirm that %s is off.", confirm)}
	case (Tripped{}).refuses(*w), (UnknownAmps{}).refuses(*w):
		return nil // the reason says what to do
	case !w.p.Allows(NewState(w.p), w.q, w.now):
		return say.Speech{say.New("It does not fit this circuit even with everything else off.")}
	}
	return say.Speech{say.New("Nothing that may be switched off makes room.")}
}

// clock shows an instant, to the second when it is near. It rounds up: at an instant
// that was rounded down the start could still be refused.
func clock(now, at time.Time) string {
	unit, layout := time.Minute, "15:04"
	if at.Sub(now) < 2*time.Minute {
		unit, layout = time.Second, "15:04:05"
	}
	if down := at.Truncate(unit); down.Before(at) {
		at = down.Add(unit)
	}
	return at.Format(layout)
}

// rough is a time to trip of s seconds with no more digits than it deserves, and
// empty for at once.
func rough(s float64) string {
	switch {
	case s < 0.05:
		return ""
	case s < 10:
		return fmt.Sprintf("%.1f s", s)
	case s < 100:
		return fmt.Sprintf("%.0f s", s)
	}
	return fmt.Sprintf("%.0f min", math.Max(2, s/60))
}

// names gives the names of loads.
func (p *Panel) names(loads []int) say.List {
	out := make(say.List, len(loads))
	for k, i := range loads {
		out[k] = p.Loads[i].Name
	}
	return out
}
