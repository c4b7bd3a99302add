package power

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// Where names the circuit or feeder leg that binds.
func (v *Verdict) Where() string {
	switch v.Leg {
	case LegA:
		return fmt.Sprintf("feeder %q leg A", v.Circuit)
	case LegB:
		return fmt.Sprintf("feeder %q leg B", v.Circuit)
	}
	return fmt.Sprintf("%q", v.Circuit)
}

// Sentence is the whole answer as one short text.
func (v *Verdict) Sentence() string {
	if v.Allowed {
		return fmt.Sprintf("%s would carry %.1f of %.4g A: room for %.1f A more.", v.Where(), v.AmpsAfter, v.LimitA, v.MarginA)
	}
	parts := []string{"Not now:"}
	for _, r := range v.Reasons {
		parts = append(parts, r.Text)
	}
	if !strings.Contains(strings.Join(parts, " "), " A now") {
		parts = append(parts, fmt.Sprintf("%s carries %.1f A now and would carry %.1f of %.4g A.", v.Where(), v.AmpsNow, v.AmpsAfter, v.LimitA))
	}
	if v.WayOut != "" {
		parts = append(parts, v.WayOut)
	}
	return strings.Join(parts, " ")
}

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
	v.WayOut = w.wayOutText(v)
}

func (w *weighing) asked() *Load { return &w.p.Loads[w.q.Load] }

func (w *weighing) circuit() *Circuit { return &w.p.Circuits[w.asked().Circuit] }

// where names a pole.
func (w *weighing) where(x *poleWeight) string {
	if x.circuit >= 0 {
		return fmt.Sprintf("%q", w.p.Circuits[x.circuit].Name)
	}
	v := Verdict{Circuit: w.p.Feeders[x.feeder].Name, Leg: w.legName(x)}
	if v.Leg == LegNone {
		return fmt.Sprintf("feeder %q", v.Circuit)
	}
	return v.Where()
}

func (w *weighing) sumText(x *poleWeight) string {
	text := fmt.Sprintf("%s would carry %.1f of %.4g A: %.1f A now plus %.1f A.",
		w.where(x), x.after, x.limit, x.now, x.after-x.now)
	if t := x.curve.Earliest(multiple(x.after, x.limit), min(1, x.heat.Level)); !math.IsInf(t, 1) {
		text += fmt.Sprintf(" It could trip %s.", rough("in about ", t))
	}
	return text
}

func (SteadySum) says(w weighing) string { return w.sumText(&w.poles[0]) }

func (FeederAndLeg) says(w weighing) string {
	for k := 1; k < w.n; k++ {
		if w.poles[k].overSum(w.rises) {
			return w.sumText(&w.poles[k])
		}
	}
	return ""
}

func (SelfCycling) says(w weighing) string {
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
		return fmt.Sprintf("%.1f A of it is kept for %s, which may start by itself.", x.reserved, w.p.names(kept))
	}
	return ""
}

func (r ContinuousLoad) says(w weighing) string {
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
	return fmt.Sprintf("%s would count %.1f of %.4g A, %.1f A now and %.1f A after: three hours or more counts 125 percent (%s).",
		w.where(x), x.contNext, x.limit, x.now, x.after, w.p.names(long))
}

func (r StartingCurrent) says(w weighing) string {
	k, _ := r.pole(&w)
	x := &w.poles[k]
	head := fmt.Sprintf("Starting %s takes %s to %.1f A for %.2g s, %.1f A now and %.1f A after, limit %.4g A",
		w.asked().Name, w.where(x), x.start.peakA, w.asked().StartingTime.Seconds(), x.now, x.after, x.limit)
	switch x.start.fails {
	case startInstant:
		return fmt.Sprintf("%s: above %.4g times its rating it may trip at once.", head, x.curve.Instant)
	case startNoSpare:
		return fmt.Sprintf("%s would carry %.1f of %.4g A, %.1f A now: too full for what starts by itself.",
			w.where(x), x.after, x.limit, x.now)
	}
	warm := ""
	if cold := x.curve.Earliest(multiple(x.start.peakA, x.limit), 0); cold-x.start.tripS > 0.1*cold {
		warm = ", warm as it is"
	}
	return fmt.Sprintf("%s: it could trip %s%s.", head, rough("after ", x.start.tripS), warm)
}

func (StartingOverlap) says(w weighing) string {
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
	return fmt.Sprintf("%s is still starting on %q. Wait %.0f s.",
		w.p.names(busy), w.circuit().Name, math.Ceil(last.Sub(w.now).Seconds()))
}

func (RunsAlone) says(w weighing) string {
	var on []int
	for i := range w.p.Loads {
		if w.clashes(i) {
			on = append(on, i)
		}
	}
	if !w.asked().Alone {
		return fmt.Sprintf("%s runs alone and is on.", w.p.names(on))
	}
	return fmt.Sprintf("%s runs alone. On now: %s.", w.asked().Name, w.p.names(on))
}

func (UnknownAmps) says(w weighing) string {
	i := w.unknown()
	if i == w.q.Load {
		return fmt.Sprintf("%s has no amps at %q. Read its nameplate and enter them.",
			w.asked().Name, w.asked().Settings[w.q.Setting].Name)
	}
	return fmt.Sprintf("%s has no amps. Read its nameplate and enter them.", w.p.Loads[i].Name)
}

func (Tripped) says(w weighing) string {
	return fmt.Sprintf("%q has tripped. Find out why, then reset it.", w.circuit().Name)
}

// wayOutText says what to switch off and when the start fits by itself.
func (w *weighing) wayOutText(v *Verdict) string {
	var ways []string
	if len(v.SwitchOff) > 0 {
		ways = append(ways, "switch off "+w.p.names(v.SwitchOff))
	}
	switch {
	case v.Earliest.IsZero():
	case !v.Earliest.After(w.now):
		verb := " is off"
		if len(v.Confirm) > 1 {
			verb = " are off"
		}
		ways = append(ways, "confirm that "+w.p.names(v.Confirm)+verb)
	default:
		ways = append(ways, "wait until "+clock(w.now, v.Earliest))
	}
	if len(ways) == 0 {
		if (Tripped{}).refuses(*w) || (UnknownAmps{}).refuses(*w) {
			return "" // the reason says what to do
		}
		if !w.p.Allows(NewState(w.p), w.q, w.now) {
			return "It does not fit this circuit even with everything else off."
		}
		return "Nothing that may be switched off makes room."
	}
	text := strings.Join(ways, ", or ")
	return strings.ToUpper(text[:1]) + text[1:] + "."
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

// rough says a time to trip with no more digits than it deserves.
func rough(lead string, s float64) string {
	switch {
	case s < 0.05:
		return "at once"
	case s < 10:
		return fmt.Sprintf("%s%.1f s", lead, s)
	case s < 100:
		return fmt.Sprintf("%s%.0f s", lead, s)
	}
	return fmt.Sprintf("%s%.0f min", lead, math.Max(2, s/60))
}

// names joins load names as a person would say them.
func (p *Panel) names(loads []int) string {
	var b strings.Builder
	for k, i := range loads {
		switch {
		case k > 0 && k == len(loads)-1:
			b.WriteString(" and ")
		case k > 0:
			b.WriteString(", ")
		}
		b.WriteString(p.Loads[i].Name)
	}
	return b.String()
}
