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
		return say.New("interlock.leg-a", say.Circuit(v.Circuit))
	case LegB:
		return say.New("interlock.leg-b", say.Circuit(v.Circuit))
	}
	return say.New("interlock.circuit", say.Circuit(v.Circuit))
}

// Says is the whole answer, sentence by sentence.
func (v *Verdict) Says() say.Speech {
	if v.Allowed {
		return say.Speech{say.New("interlock.room", v.Where(), say.Amps(v.AmpsAfter), say.Amps(v.LimitA), say.Amps(v.MarginA))}
	}
	says := say.Speech{say.New("refusal.not-now")}
	amps := v.Circuit == ""
	for _, r := range v.Reasons {
		says = append(says, r.Says...)
		amps = amps || slices.Contains(sayAmps, r.Rule)
	}
	if !amps {
		says = append(says, say.New("interlock.carries", v.Where(), say.Amps(v.AmpsNow), say.Amps(v.AmpsAfter), say.Amps(v.LimitA)))
	}
	return append(says, v.WayOut...)
}

// sayAmps are the rules whose reasons give the amperes before and after by themselves.
var sayAmps = []string{RuleRating, RuleFeeder, RuleContinuous, RuleStarting}

// explain puts the refusal into words. Behind an open breaker nothing else matters.
func (w *weighing) explain(v *Verdict) {
	for _, r := range startRules {
		if r.refuses(*w) {
			v.Reasons = append(v.Reasons, Reason{r.name(), r.says(*w), w.p.Rules().sourceOf(r.name())})
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
		return say.New("interlock.circuit", say.Circuit(w.p.Circuits[x.circuit].Name))
	}
	v := Verdict{Circuit: w.p.Feeders[x.feeder].Name, Leg: w.legName(x)}
	if v.Leg == LegNone {
		return say.New("interlock.feeder", say.Circuit(v.Circuit))
	}
	return v.Where()
}

func (w *weighing) sum(x *poleWeight) say.Speech {
	says := say.Speech{say.New("interlock.over",
		w.where(x), say.Amps(x.after), say.Amps(x.limit), say.Amps(x.now), say.Amps(x.after-x.now))}
	if t := x.earliest(x.after, x.heat.Level); !math.IsInf(t, 1) {
		if trips := rough(t); trips == "" {
			says = append(says, say.New("interlock.trips-at-once"))
		} else {
			says = append(says, say.New("interlock.trips-in", trips))
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
		return say.Speech{say.New("interlock.reserved", say.Amps(x.reserved), w.p.names(kept))}
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
	return say.Speech{say.New("interlock.continuous",
		w.where(x), say.Amps(x.contNext), say.Amps(x.limit), say.Amps(x.now), say.Amps(x.after), w.p.names(long))}
}

func (r StartingCurrent) says(w weighing) say.Speech {
	k, _ := r.pole(&w)
	x := &w.poles[k]
	if x.start.fails == startNoSpare {
		return say.Speech{say.New("interlock.no-spare",
			w.where(x), say.Amps(x.after), say.Amps(x.limit), say.Amps(x.now))}
	}
	takes := say.New("interlock.starting",
		say.Load(w.asked().Name), w.where(x), say.Amps(x.start.peakA), w.asked().StartingTime.Seconds(), say.Amps(x.now), say.Amps(x.after), say.Amps(x.limit))
	if x.start.fails == startInstant {
		return say.Speech{say.New("interlock.starting-instant", takes, x.curve.Instant)}
	}
	cold := x.earliest(x.start.peakA, 0)
	warm, trips := cold-x.start.tripS > 0.1*cold, rough(x.start.tripS)
	switch {
	case trips == "" && warm:
		return say.Speech{say.New("interlock.starting-at-once-warm", takes)}
	case trips == "":
		return say.Speech{say.New("interlock.starting-at-once", takes)}
	case warm:
		return say.Speech{say.New("interlock.starting-trips-warm", takes, trips)}
	}
	return say.Speech{say.New("interlock.starting-trips", takes, trips)}
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
	return say.Speech{say.New("interlock.overlap",
		w.p.names(busy), say.Circuit(w.circuit().Name), math.Ceil(last.Sub(w.now).Seconds()))}
}

func (RunsAlone) says(w weighing) say.Speech {
	var on []int
	for i := range w.p.Loads {
		if w.clashes(i) {
			on = append(on, i)
		}
	}
	if !w.asked().Alone {
		return say.Speech{say.New("interlock.alone-is-on", w.p.names(on))}
	}
	return say.Speech{say.New("interlock.alone", say.Load(w.asked().Name), w.p.names(on))}
}

func (UnknownAmps) says(w weighing) say.Speech {
	i := w.unknown()
	if i == w.q.Load {
		return say.Speech{say.New("interlock.no-amps-at",
			say.Load(w.asked().Name), w.asked().Settings[w.q.Setting].Name)}
	}
	return say.Speech{say.New("interlock.no-amps", say.Load(w.p.Loads[i].Name))}
}

func (Tripped) says(w weighing) say.Speech {
	if w.s.Dark(w.asked().Circuit) {
		return say.Speech{say.New("interlock.dark", say.Circuit(w.circuit().Name))}
	}
	return say.Speech{say.New("interlock.tripped", say.Circuit(w.circuit().Name))}
}

// sayWayOut says what to switch off and when the start fits by itself.
func (w *weighing) sayWayOut(v *Verdict) say.Speech {
	off, confirm := w.p.names(v.SwitchOff), w.p.names(v.Confirm)
	waits, done := v.Earliest.After(w.now), !v.Earliest.IsZero() && !v.Earliest.After(w.now)
	switch {
	case len(off) > 0 && waits:
		return say.Speech{say.New("interlock.off-or-wait", off, clock(w.now, v.Earliest))}
	case len(off) > 0 && done:
		return say.Speech{say.New("interlock.off-or-confirm", off, confirm, len(confirm))}
	case len(off) > 0:
		return say.Speech{say.New("interlock.off", off)}
	case waits:
		return say.Speech{say.New("interlock.wait", clock(w.now, v.Earliest))}
	case done:
		return say.Speech{say.New("interlock.confirm", confirm, len(confirm))}
	case (Tripped{}).refuses(*w), (UnknownAmps{}).refuses(*w):
		return nil // the reason says what to do
	case !w.p.Allows(NewState(w.p), w.q, w.now):
		return say.Speech{say.New("interlock.never-fits")}
	}
	return say.Speech{say.New("interlock.no-way-out")}
}

// clock shows an instant, to the second when it is near. It rounds up: at an instant
// that was rounded down the start could still be refused.
func clock(now, at time.Time) any {
	unit, near := time.Minute, at.Sub(now) < 2*time.Minute
	if near {
		unit = time.Second
	}
	if down := at.Truncate(unit); down.Before(at) {
		at = down.Add(unit)
	}
	if near {
		return say.TimeToSecond(at)
	}
	return say.Time(at)
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
		out[k] = say.Load(p.Loads[i].Name)
	}
	return out
}
