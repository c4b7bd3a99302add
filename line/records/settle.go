package records

import "shedbell/line"

// settler passes records on once nothing can take them back any more, without
// those that were undone. It keeps the stack of what can be undone as the line
// does, so that what comes out is what counts.
type settler struct {
	out   func(line.Record)
	held  []line.Record
	stack []int64 // first numbers of the groups that can be taken back, oldest first
}

// undoDepth is how many actions the line lets people take back.
const undoDepth = 20

func (s *settler) add(r line.Record) {
	switch r.Event.(type) {
	case line.Undone:
		s.drop()
		return
	case line.LineLaid, line.WatchLost, line.RecipeRevised:
		if r.Undo == "" && r.Seq == r.Group {
			s.stack = s.stack[:0]
		}
	}
	if r.Undo != "" {
		if len(s.stack) >= undoDepth {
			s.stack = append(s.stack[:0], s.stack[1:]...)
		}
		s.stack = append(s.stack, r.Group)
	}
	s.held = append(s.held, r)
	if len(s.held) >= 64 || len(s.stack) == 0 {
		s.release()
	}
}

// drop takes out the last group that can be taken back.
func (s *settler) drop() {
	if len(s.stack) == 0 {
		return
	}
	group := s.stack[len(s.stack)-1]
	s.stack = s.stack[:len(s.stack)-1]
	kept := s.held[:0]
	for _, r := range s.held {
		if r.Group != group {
			kept = append(kept, r)
		}
	}
	clear(s.held[len(kept):])
	s.held = kept
}

// release passes on what came before the oldest group on the stack.
func (s *settler) release() {
	n := len(s.held)
	if len(s.stack) > 0 {
		for i := range s.held {
			if s.held[i].Seq >= s.stack[0] {
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

func (s *settler) flush() {
	s.stack = nil
	s.release()
}

// Taken lists the groups that undos among these records took back, for who reads
// only some of a journal's records.
func Taken(all []line.Record) map[int64]bool {
	before := map[int64]bool{}
	s := settler{out: func(r line.Record) { delete(before, r.Group) }}
	for _, r := range all {
		if _, undo := r.Event.(line.Undone); !undo {
			before[r.Group] = true
		}
		s.add(r)
	}
	s.flush()
	return before
}
