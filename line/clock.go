package line

import "time"

// NoteClock says that the computer's clock was set while the line ran, or stands
// behind what the journal knows. The line's own time goes on undisturbed.
type NoteClock struct {
	By    time.Duration // how far it was put on; negative: back
	Ahead time.Duration // how far it is now ahead of the line's time
}

// FollowClock says that the line's time was put on to the computer's clock, which
// it may be while nothing runs.
type FollowClock struct{ By time.Duration }

// ClockJumped is a change of the computer's clock that the line did not follow.
type ClockJumped struct {
	By    time.Duration
	Ahead time.Duration
}

// ClockFollowed is the line's time put on to that of the computer's clock.
type ClockFollowed struct{ By time.Duration }

func (c NoteClock) decide(d *draft) *Refusal {
	d.emit(ClockJumped(c))
	return nil
}

func (c FollowClock) decide(d *draft) *Refusal {
	if !d.s.Idle() {
		return refuse(RuleOrder, "line.clock-runs")
	}
	d.emit(ClockFollowed(c))
	return nil
}

func (e ClockJumped) apply(s *State, _ Record) { s.Ahead = e.Ahead }
func (ClockFollowed) apply(s *State, _ Record) { s.Ahead = 0 }

// Idle says whether nothing on the line depends on elapsed time: no greens and no
// chore are on it.
func (s *State) Idle() bool {
	if len(s.Chores) > 0 {
		return false
	}
	for i := range s.Batches {
		if s.Batches[i].Fate == OnLine {
			return false
		}
	}
	return true
}
