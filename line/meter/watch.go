package meter

import (
	"slices"
	"time"
)

// Verdict is what a meter says about its load.
type Verdict uint8

// What a meter can say. Unknown is silent, stale, or between on and off: then what people
// say holds.
const (
	Unknown Verdict = iota
	On
	Off
)

const (
	// Slowest is the longest time between two readings of which the second may confirm
	// off: a meter that is slower has not seen what happened between them.
	Slowest = 5 * time.Second
	// apart is the least time between them: messages that were held up somewhere come
	// all at once.
	apart = time.Second
)

// Level is above which current a load counts as on and at or below which as off. Between
// them it does what it did.
type Level struct{ OnA, OffA float64 }

// Shares of a load's least running current (common practice, no source). The floor is
// what a machine on standby may draw.
const (
	plateShare   = 0.2 // by the nameplate, which is more than it runs at
	learnedShare = 0.5
	floorA       = 0.1
)

// LevelOf is the level of a load by the least current of its nameplate and the least at
// which it was seen running; 0: not yet. What was seen only lowers the level, so that off
// is harder to say.
func LevelOf(plateA, seenA float64) Level {
	on := plateShare * plateA
	if seenA > 0 {
		on = min(on, learnedShare*seenA)
	}
	on = max(on, floorA)
	return Level{on, on / 2}
}

// Watch is what the live readings of one meter of a load have said. It is a value.
type Watch struct {
	A, PriorA float64   // the last two readings
	At        time.Time // when the last one came; zero: none has

	ons     int       // readings at which it has been on without a break
	lastOn  time.Time // when it was last read on
	offFrom time.Time // first of the readings that say off without a break
	last    []float64 // the newest readings since it was switched on
	SeenA   float64   // the least current at which it was seen running; 0: not yet
}

// Take adds a live reading. fresh is how long one holds; plateA is the least current of
// the nameplate; told says that people have the load on.
func (w Watch) Take(a float64, at time.Time, fresh time.Duration, plateA float64, told bool) Watch {
	gap := at.Sub(w.At)
	if w.At.IsZero() || gap < 0 || gap > fresh {
		w = Watch{SeenA: w.SeenA}
	}
	level := LevelOf(plateA, w.SeenA)
	w.A, w.PriorA, w.At = a, w.A, at
	switch {
	case a >= level.OnA:
		w.ons, w.lastOn, w.offFrom = w.ons+1, at, time.Time{}
	case a <= level.OffA:
		if w.ons = 0; w.offFrom.IsZero() || gap > Slowest {
			w.offFrom = at
		}
	default:
		w.offFrom = time.Time{}
		if w.ons == 1 {
			w.ons = 0 // one reading was no start
		}
		if w.ons > 0 {
			w.lastOn = at
		}
	}
	return w.learn(plateA, told)
}

// learnFrom is how many readings make a running current: their middle one leaves out the
// start and a slip.
const learnFrom = 5

// learn keeps the least running current, while people say that the load is on. Less than
// a tenth of the nameplate is not yet switched on, or a lamp on its switch.
func (w Watch) learn(plateA float64, told bool) Watch {
	if !told || w.A < max(floorA, plateA/10) {
		w.last = nil
		return w
	}
	w.last = append(slices.Clone(w.last), w.A)
	if len(w.last) < learnFrom {
		return w
	}
	w.last = w.last[len(w.last)-learnFrom:]
	sorted := slices.Sorted(slices.Values(w.last))
	if mid := sorted[learnFrom/2]; w.SeenA == 0 || mid < w.SeenA {
		w.SeenA = mid
	}
	return w
}

// Says is what the readings say at an instant: on and off take two successive ones.
func (w *Watch) Says(now time.Time, fresh time.Duration) Verdict {
	switch age := now.Sub(w.At); {
	case w.At.IsZero() || age > fresh:
		return Unknown
	case w.ons >= 2:
		return On
	case !w.offFrom.IsZero() && w.At.Sub(w.offFrom) >= apart && age <= Slowest:
		return Off
	}
	return Unknown
}

// RunsA is the current of two successive readings: the lower, as one may be a start.
func (w *Watch) RunsA() float64 { return min(w.A, w.PriorA) }
