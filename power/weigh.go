package power

import (
	"math"
	"time"

	"shedbell/power/nec"
)

// restartGap is the shortest time between two starts of a load that cycles by
// itself: a compressor waits some minutes (common practice, no source).
const restartGap = 3 * time.Minute

const continuousFrom = nec.ContinuousHours * time.Hour

// weighing is one question with every figure that the rules look at. It is
// passed by value, so that an allowed start costs no allocation.
type weighing struct {
	p       *Panel
	s       State
	q       Ask
	now     time.Time
	drawing bool // the load is on already, which is certain, and only its setting would change
	rises   bool // the circuit would carry more than it does
	h       change
	poles   [3]poleWeight
	n       int
}

// poleWeight is what the start means for one pole. Currents are in amperes.
type poleWeight struct {
	pole
	device
	now, after   float64 // running plus reserved
	reserved     float64 // part of after that loads starting by themselves keep
	contNext     float64 // with continuous loads at 125 percent
	heat         Heat
	selfA, selfS float64 // what other self-starting loads may add while starting, and how long
	selfAllA     float64 // the same with the asked load, once it cycles
	start        startWeight
}

// startWeight is how the starting current meets the curve.
type startWeight struct {
	fails  startFail
	peakA  float64
	tripS  float64 // earliest trip at the peak, +Inf when it holds
	spareS float64 // tripS less what the start takes
}

type startFail uint8

const (
	startFits    startFail = iota
	startInstant           // above the band in which a breaker may trip at once
	startHot               // lasts longer than the quickest breaker takes
	startNoSpare           // afterwards a self-starting load could trip it
)

func (p *Panel) weigh(s State, q Ask, now time.Time) weighing {
	l := &p.Loads[q.Load]
	w := weighing{p: p, s: s, q: q, now: now, drawing: s.Drawing(p, q.Load, now) && !s.Loads[q.Load].PerhapsOff()}
	w.h = change{load: q.Load, setting: q.Setting, at: now}
	was, will := p.countedA(s, q.Load, now), p.askedA(w.h)
	w.rises = will > was+slackA || !w.drawing
	w.h.motor = !w.drawing || p.settingA(q.Load, q.Setting) > p.settingA(q.Load, s.Loads[q.Load].Setting)+slackA
	var poles [3]pole
	poles, w.n = p.polesOf(l.Circuit)
	for k := range w.n {
		w.weighPole(k, poles[k], was, will)
	}
	return w
}

func (w *weighing) weighPole(k int, pl pole, was, will float64) {
	p := w.p
	x := poleWeight{pole: pl, device: p.deviceOf(pl)}
	for i := range p.Loads {
		if !p.on(pl, p.Loads[i].Circuit) {
			continue
		}
		a := p.countedA(w.s, i, w.now)
		x.now += a
		if i == w.q.Load {
			x.selfAllA += w.p.selfStartA(i, will)
			continue
		}
		x.after += a
		x.contNext += a * p.continuousFactor(w.s, i, w.now)
		x.reserved += p.reservedA(w.s, i, w.now)
		if l := &p.Loads[i]; w.s.reserved(p, i) {
			x.selfA += p.selfStartA(i, a)
			x.selfS = max(x.selfS, l.StartingTime.Seconds())
		}
	}
	if l := &p.Loads[w.q.Load]; l.Cycles {
		x.selfS = max(x.selfS, l.StartingTime.Seconds())
	}
	x.selfAllA += x.selfA
	x.after += will
	x.contNext += will * w.askedFactor()
	x.heat = p.heatOf(w.s, pl, w.now)
	w.poles[k] = x
	w.poles[k].start = w.startOn(k, 0)
}

// selfStartA is what a load that cycles by itself may draw at any moment beyond
// the current that it is counted with.
func (p *Panel) selfStartA(i int, countedA float64) float64 {
	l := &p.Loads[i]
	if !l.Cycles {
		return 0
	}
	return max(0, l.StartingA-countedA)
}

// continuousFactor is 1.25, where the standard has it, for a load that is on for three hours or more, by its
// nature, by its countdown or because it has been.
func (p *Panel) continuousFactor(s State, i int, now time.Time) float64 {
	l, st := &p.Loads[i], &s.Loads[i]
	if l.Continuous {
		return p.Rules().continuous
	}
	if !s.Drawing(p, i, now) || l.Cycles {
		return 1
	}
	since := st.onSince()
	if now.Sub(since) >= continuousFrom || !st.Until.IsZero() && st.Until.Sub(since) >= continuousFrom {
		return p.Rules().continuous
	}
	return 1
}

func (w *weighing) askedFactor() float64 {
	l := &w.p.Loads[w.q.Load]
	on := w.q.For
	if w.drawing {
		on += w.now.Sub(w.s.Loads[w.q.Load].onSince())
	}
	if l.Continuous || !l.Cycles && on >= continuousFrom {
		return w.p.Rules().continuous
	}
	return 1
}

// startOn follows the current after the start against the pole's curve, with
// the running current lowered by lessA throughout. Loads that start by
// themselves are taken to start at the worst moment.
func (w *weighing) startOn(k int, lessA float64) startWeight {
	x := &w.poles[k]
	base := x.after - lessA
	usual := x.lately(base, x.now-lessA)
	ratchet := x.ratchet(usual)
	out := startWeight{peakA: base + x.selfA}
	if x.tooFull(base) {
		out.fails = startNoSpare
	}
	heat := x.heat
	end := w.burstEnd(x.pole)
	for t := w.now; t.Before(end); {
		next := w.p.nextChange(w.s, x.pole, t, end, w.h)
		a := w.p.poleA(w.s, x.pole, t, w.h) - lessA
		m := multiple(a, x.limit)
		out.peakA = max(out.peakA, a+x.selfA)
		extra := max(0, x.burst(heat.Level, m, x.selfA)-x.burst(x.curve.Target(usual), usual, x.selfA))
		heat.warm(&x.device, a, base, x.selfA, next.Sub(t).Seconds())
		if heat.Level+ratchet+extra > 1+slackA || heat.Short >= 1 {
			out.fails = startHot
		}
		t = next
	}
	if x.atOnce(out.peakA) {
		out.fails = startInstant
	}
	out.tripS = x.earliest(out.peakA, x.heat.Level+ratchet)
	out.spareS = out.tripS - end.Sub(w.now).Seconds()
	if out.fails == startFits {
		out.spareS = max(0, out.spareS) // the peak does not last all the time
	} else {
		out.spareS = min(0, out.spareS)
	}
	return out
}

// tooFull says whether the pole, once warm from carrying base for long, could not
// stand the start of a self-starting load.
func (x *poleWeight) tooFull(base float64) bool {
	if x.selfAllA <= 0 {
		return false
	}
	m := multiple(base, x.limit)
	return x.curve.Target(m)+x.ratchet(m) > 1+slackA ||
		x.selfS >= x.shortTime(base+x.selfAllA)
}

// burstEnd is when the last starting current on the pole is over.
func (w *weighing) burstEnd(pl pole) time.Time {
	end := w.now
	for i := range w.p.Loads {
		if !w.p.on(pl, w.p.Loads[i].Circuit) {
			continue
		}
		if _, e, ok := w.p.startEnd(w.s, i, w.h); ok && e.After(end) {
			end = e
		}
	}
	return end
}

// burst is the heat that a start of every self-starting load adds to that of a multiple of
// the limit. The larger current may find a quicker body, which takes up all of it quicker.
func (x *poleWeight) burst(heat, multiple, selfA float64) float64 {
	if selfA <= 0 || x.limit <= 0 {
		return 0
	}
	return x.curve.Warm(heat, multiple+selfA/x.limit, x.selfS) - x.curve.Warm(heat, multiple, x.selfS)
}

// ratchet is what bursts at the shortest gap add up to while the pole carries a
// multiple of its limit. For a breaker with time constant T the sum is
// b/(1-exp(-gap/T)), which is largest for the shortest T; where T differs with the current
// the two are taken apart, which is more still.
func (x *poleWeight) ratchet(multiple float64) float64 {
	return x.burst(x.curve.Target(multiple), multiple, x.selfAllA) / (1 - math.Exp(-restartGap.Seconds()/x.curve.Rise(0)))
}

// lately is the multiple at which self-starting loads may have started lately or
// may start once the new load runs: what the breaker's heat remembers counts, too.
func (x *poleWeight) lately(base, now float64) float64 {
	return max(multiple(max(base, now), x.limit), x.curve.Hold*math.Sqrt(min(1, x.heat.Level)))
}
