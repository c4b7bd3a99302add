package words

import (
	"time"

	"shedbell/line"
)

// State is a slot's state.
type State string

// The states of a slot, by the key of their words.
const (
	Free     State = "free"
	Loaded   State = "loaded"
	Running  State = "running"
	Due      State = "due" // countdown over, machine not confirmed off
	ByHand   State = "by-hand"
	Held     State = "held"
	WaitsWet State = "waits-wet"
	Waits    State = "waits"
	Ask      State = "ask" // ran while nobody watched: go on, start again, or done
	Broken   State = "broken"
)

// States lists them all.
func States() []State {
	return []State{Free, Loaded, Running, Due, ByHand, Held, WaitsWet, Waits, Ask, Broken}
}

// Slot is what stands in a slot, in words.
type Slot struct {
	State State
	What  string        // batch or chore; empty when free
	Time  time.Duration // countdown left, or time since
	Timed bool          // Time counts down
	Done  float64       // share of the countdown that is over
	Trays int

	Left  time.Duration // with About: how long the work by hand still takes; negative where it takes longer than usual
	About bool
	Why   string // of what is out of use
}

// SlotAt words a slot.
func (t *Speaker) SlotAt(s *line.State, p line.Place, now time.Time) Slot {
	b, c := s.Occupant(p)
	switch {
	case b != nil && s.IsBroken(p) && !b.Step.ByHand && b.Step.Progress != line.Finished:
		t, _ := s.OutOfUse(p)
		return Slot{State: Broken, What: b.Name(), Trays: b.Trays, Why: t.What}
	case b != nil:
		return t.batchSlot(s, b, now)
	case c != nil:
		return t.choreSlot(c, now)
	case s.IsBroken(p):
		t, _ := s.OutOfUse(p)
		return Slot{State: Broken, Why: t.What}
	}
	return Slot{State: Free}
}

func (t *Speaker) batchSlot(s *line.State, b *line.Batch, now time.Time) Slot {
	out := stepSlot(&b.Step, now)
	out.What, out.Trays = t.Batch(b), b.Trays
	if out.State == Waits {
		out.Time = now.Sub(b.Step.Ended)
	}
	if wet := s.WetWait(b, now); wet > 0 && (out.State == Waits || out.State == Loaded) {
		out.State, out.Time = WaitsWet, wet
	}
	return out
}

func (t *Speaker) choreSlot(c *line.Chore, now time.Time) Slot {
	out := stepSlot(&c.Step, now)
	out.What, out.Trays = t.Say("chore-short."+c.Kind.String()), c.Trays
	if c.Crop != "" {
		out.What = t.Crop(c.Crop)
	}
	return out
}

func stepSlot(step *line.Step, now time.Time) Slot {
	switch step.Progress {
	case line.Loaded:
		return Slot{State: Loaded}
	case line.Held:
		return Slot{State: Held, Time: step.Left(now), Timed: step.Planned > 0}
	case line.Interrupted:
		return Slot{State: Ask, Time: step.Ran(now)}
	case line.Finished:
		return Slot{State: Waits}
	}
	if step.Planned == 0 {
		return Slot{State: ByHand, Time: step.Ran(now)}
	}
	left := step.Left(now)
	out := Slot{State: Running, Time: left, Timed: true, Done: float64(step.Ran(now)) / float64(step.Planned)}
	if left <= 0 {
		out.State = Due
	}
	return out
}

// State is a slot's state in one word, the same everywhere.
func (t *Speaker) State(s State) string { return t.Say("state." + string(s)) }

// Chore names work that has no batch.
func (t *Speaker) Chore(k line.ChoreKind) string { return t.Say("chore." + k.String()) }

// Kind names what is done at a station.
func (t *Speaker) Kind(k line.Kind) string { return t.Say("kind." + k.String()) }

// Slot is the slot's time with its word, as a card shows it.
func (t *Speaker) Slot(s Slot) string {
	switch s.State {
	case Running:
		return t.Say("slot.left", Left(s.Time))
	case Due:
		return t.Say("slot.due", Clock(-s.Time))
	case ByHand:
		switch {
		case s.About && s.Left > 0:
			return t.Say("slot.hand-left", wholeMinutes(s.Left))
		case s.About && s.Left < -time.Minute:
			return t.Say("slot.hand-over", wholeMinutes(-s.Left))
		}
		return t.Say("slot.hand", Clock(s.Time))
	case Held:
		if s.Timed {
			return t.Say("slot.held-left", Left(max(s.Time, 0)))
		}
		return t.Say("slot.held")
	case WaitsWet:
		return t.Say("slot.wet", Clock(s.Time))
	case Waits:
		return t.Say("slot.waits", Clock(s.Time))
	case Ask:
		return t.Say("slot.ran", Clock(s.Time))
	case Broken:
		if s.Why != "" {
			return t.Say("slot.out", s.Why)
		}
	}
	return t.Say("slot." + string(s.State))
}

// SlotShort is the slot's time where there is room for little.
func (t *Speaker) SlotShort(s Slot) string {
	switch s.State {
	case Running:
		return Left(s.Time)
	case Due:
		return t.Say("slot.short-due")
	case ByHand:
		return t.Say("slot.short-hand")
	case WaitsWet:
		return t.Say("slot.short-wet", Clock(s.Time))
	case Waits:
		return t.Say("slot.short-waits")
	case Ask:
		return t.Say("slot.short-ask")
	}
	return t.Say("slot." + string(s.State))
}

// wholeMinutes rounds up, so that what goes on is never nothing.
func wholeMinutes(d time.Duration) int { return int((d + time.Minute - 1) / time.Minute) }
