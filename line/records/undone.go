package records

import "shedbell/line"

// undoFilter passes records on once nothing can take them back any more, without
// those that were undone. It keeps the stack of what can be undone as the line
// does, so that what comes out is what counts.
type undoFilter struct {
	out      func(line.Record)
	held     []line.Record
	undoable line.UndoStack
}

func (s *undoFilter) add(r line.Record) {
	group, taken := s.undoable.Add(r)
	if _, undo := r.Event.(line.Undone); undo {
		if taken {
			s.drop(group)
		}
		return
	}
	s.held = append(s.held, r)
	if _, open := s.undoable.Oldest(); len(s.held) >= 64 || !open {
		s.release()
	}
}

// drop takes out an action that was taken back.
func (s *undoFilter) drop(group int64) {
	kept := s.held[:0]
	for _, r := range s.held {
		if r.Group != group {
			kept = append(kept, r)
		}
	}
	clear(s.held[len(kept):])
	s.held = kept
}

// release passes on what came before the oldest action that can be taken back.
func (s *undoFilter) release() {
	n := len(s.held)
	if oldest, open := s.undoable.Oldest(); open {
		for i := range s.held {
			if s.held[i].Seq >= oldest {
				n = i
				break
			}
		}
	}
	for _, r := range s.held[:n] {
		s.out(r)
	}
	rest := copy(s.held, s.held[n:])
	clear(s.held[rest:])
	s.held = s.held[:rest]
}

func (s *undoFilter) flush() {
	s.undoable = line.UndoStack{}
	s.release()
}

// TakenBack lists the groups that undos among these records took back, for who reads
// only some of a journal's records.
func TakenBack(all []line.Record) map[int64]bool {
	before := map[int64]bool{}
	s := undoFilter{out: func(r line.Record) { delete(before, r.Group) }}
	for _, r := range all {
		if _, undo := r.Event.(line.Undone); !undo {
			before[r.Group] = true
		}
		s.add(r)
	}
	s.flush()
	return before
}
