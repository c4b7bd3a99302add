package power

import (
	"slices"
	"time"
)

// coolingHorizon is how long after the last countdown a warm breaker is followed.
const coolingHorizon = 3 * time.Hour

// wayOut fills in what could be done about a refusal.
func (w *weighing) wayOut(v *Verdict) {
	if (UnknownAmps{}).refuses(*w) || (Tripped{}).refuses(*w) {
		return
	}
	if !w.onlyOverlap() {
		v.SwitchOff = w.smallestOff()
	}
	v.Earliest, v.Confirm = w.earliest()
}

// onlyOverlap says that waiting a moment is all it takes.
func (w *weighing) onlyOverlap() bool {
	if !(StartingOverlap{}).refuses(*w) {
		return false
	}
	for _, r := range startRules {
		if r != (StartingOverlap{}) && r.refuses(*w) {
			return false
		}
	}
	return true
}

// earliest is the first instant at which the start fits when every running
// countdown ends in a confirmed switching off, with the loads that somebody has
// to confirm by then. Between two events only the cooling of a breaker can make a
// start fit, which is found to the second.
func (w *weighing) earliest() (time.Time, []int) {
	p, s := w.p, w.s
	s.Loads = slices.Clone(s.Loads)
	events := w.events()
	var ended []int
	for k, t := range events {
		for i := range p.Loads {
			if w.endsBy(i, t) && s.Drawing(p, i, t) {
				w.off(&s, i, t)
				if !p.Loads[i].SelfOff {
					ended = append(ended, i)
				}
			}
		}
		to := t.Add(coolingHorizon)
		if k+1 < len(events) {
			to = events[k+1]
		}
		if at, ok := w.firstFit(s, t, to); ok {
			return at, w.needed(ended, at)
		}
	}
	return time.Time{}, nil
}

// events are the instants from now on at which something ends: countdowns and
// starting currents.
func (w *weighing) events() []time.Time {
	out := []time.Time{w.now}
	for i := range w.p.Loads {
		if i == w.q.Load || !w.s.Drawing(w.p, i, w.now) {
			continue
		}
		if u := w.s.Loads[i].Until; !u.IsZero() && u.After(w.now) {
			out = append(out, u)
		}
		if _, end, ok := w.p.startEnd(w.s, i, noChange); ok && end.After(w.now) {
			out = append(out, end)
		}
	}
	slices.SortFunc(out, time.Time.Compare)
	return slices.CompactFunc(out, time.Time.Equal)
}

// endsBy says whether the load's countdown is over at t.
func (w *weighing) endsBy(i int, t time.Time) bool {
	u := w.s.Loads[i].Until
	return i != w.q.Load && w.s.Drawing(w.p, i, w.now) && !u.IsZero() && !u.After(t)
}

// firstFit looks for the first whole second from t, before to, at which the start
// fits while nothing is switched.
func (w *weighing) firstFit(s State, t, to time.Time) (time.Time, bool) {
	p, q := w.p, w.q
	now := p.weigh(s, q, t)
	if now.allowed() {
		return t, true
	}
	if !now.onlyWarm() {
		return time.Time{}, false
	}
	const probes = 16
	span := int(to.Sub(t).Seconds())
	if to.Sub(t) == time.Duration(span)*time.Second {
		span-- // the event itself is looked at next
	}
	at := func(k int) time.Time { return t.Add(time.Duration(k) * time.Second) }
	lo := 0
	for i := 1; i <= probes; i++ {
		hi := span * i / probes
		if hi <= lo || !p.Allows(s, q, at(hi)) {
			lo = max(lo, hi)
			continue
		}
		for hi-lo > 1 {
			if mid := (lo + hi) / 2; p.Allows(s, q, at(mid)) {
				hi = mid
			} else {
				lo = mid
			}
		}
		return at(hi), true
	}
	return time.Time{}, false
}

// onlyWarm says whether nothing but a breaker's heat is in the way.
func (w *weighing) onlyWarm() bool {
	for _, r := range startRules {
		if r != (StartingCurrent{}) && r.refuses(*w) {
			return false
		}
	}
	return true
}

// needed drops the loads whose confirmation the start does not wait for.
func (w *weighing) needed(ended []int, at time.Time) []int {
	ended = slices.DeleteFunc(slices.Clone(ended), func(i int) bool { return !w.concerns(i) })
	var out []int
	for k, i := range ended {
		if !w.p.Allows(w.without(append(slices.Clone(out), ended[k+1:]...)), w.q, at) {
			out = append(out, i)
		}
	}
	return out
}

// concerns says whether a load can be in the way: on a pole of the asked one, or because
// the two may not run together.
func (w *weighing) concerns(i int) bool {
	for k := range w.n {
		if w.p.on(w.poles[k].pole, w.p.Loads[i].Circuit) {
			return true
		}
	}
	return w.clashes(i)
}

// without is the state with loads switched off at the end of their countdowns, or now when
// that is past.
func (w *weighing) without(loads []int) State {
	s := w.s
	s.Loads = slices.Clone(s.Loads)
	for _, i := range loads {
		end := w.s.Loads[i].Until
		if end.Before(w.now) {
			end = w.now
		}
		w.off(&s, i, end)
	}
	return s
}

// off is Switched for a state whose list of loads is nobody else's.
func (w *weighing) off(s *State, i int, at time.Time) {
	at = at.Round(0)
	s.Heat = s.heatAt(w.p, w.p.Loads[i].Circuit, at)
	s.Loads[i] = w.p.carried(*s, i, Status{DeclaredOff: s.Loads[i].DeclaredOff}, at)
}
