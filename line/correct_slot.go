package line

import (
	"reflect"
)

// into has an action put what it is about into another slot of the station.
func (e *Corrected) into(slot int) {
	for i, event := range e.Events {
		switch one := event.(type) {
		case StepStarted:
			one.At.Slot = slot
			e.Events[i] = one
		case BatchLoaded:
			one.At.Slot = slot
			e.Events[i] = one
		case ChoreStarted:
			one.At.Slot = slot
			e.Events[i] = one
		}
	}
}

// follow is the fixes of what was done to a step since it was put somewhere, where that
// was somewhere else.
func (s *State) follow(fix *Corrected, from, to Place) (out []Corrected) {
	batch, chore := fix.batch(), 0
	for _, event := range fix.Events {
		if e, ok := event.(ChoreStarted); ok {
			chore = e.ID
		}
	}
	for i := s.actionOf(fix.Entry) + 1; i < len(s.undo); i++ {
		a, said := s.undo[i], s.said(i)
		next := Corrected{Entry: a.group}
		if a.fix != nil {
			next = *a.fix
		}
		next.Events = nil
		changed := false
		for _, r := range Fixed(said, a.fix) {
			event, leaves := elsewhere(r.Event, from, to, batch, chore)
			if leaves {
				return out
			}
			changed = changed || !reflect.DeepEqual(event, r.Event)
			next.Events = append(next.Events, event)
		}
		if same(next.Events, said) {
			next.Events = nil
		}
		if changed {
			out = append(out, next)
		}
	}
	return out
}

// elsewhere is what was done to a step in another slot; leaves says that it left that.
func elsewhere(event Event, from, to Place, batch, chore int) (is Event, leaves bool) {
	swap := func(at Place) Place {
		if at == from {
			return to
		}
		return at
	}
	switch e := event.(type) {
	case StepAdjusted:
		e.At = swap(e.At)
		return e, false
	case StepHeld:
		e.At = swap(e.At)
		return e, false
	case StepResumed:
		e.At = swap(e.At)
		return e, false
	case StepStarted:
		return e, e.Batch == batch
	case BatchLoaded:
		return e, e.Batch == batch
	case BatchCooled:
		return e, e.Batch == batch
	case BatchMoved:
		return e, e.Batch == batch
	case ChoreFinished:
		return e, e.ID == chore
	}
	return event, false
}
