package records

import (
	"slices"
	"time"

	"shedbell/line"
)

// undoFilter passes records on once nothing can take them back or put them right any
// more: as they were and when they were, without those that were undone. It keeps the
// stack of what can be undone as the line does, so that what comes out is what counts.
type undoFilter struct {
	out      func(line.Record)
	put      func(Correction) // told of every correction; nil: nobody
	held     []line.Record    // as they were said
	fixes    map[int64]line.Corrected
	undoable line.UndoStack
}

// Correction is what was put right, beside what had been said.
type Correction struct {
	At    time.Time // when it was entered
	By    string
	Said  []line.Record // the action as it was said
	Is    line.Corrected
	Text  string // what the action is called, for say.Kept
	Group int64
}

func (s *undoFilter) add(r line.Record) {
	group, taken := s.undoable.Add(r)
	switch e := r.Event.(type) {
	case line.Undone:
		if taken {
			fix := s.fixes[group]
			fix.Entry, fix.Out = group, true
			s.fix(r, fix)
		}
		return
	case line.Corrected:
		s.fix(r, e)
		return
	}
	s.held = append(s.held, r)
	if _, _, open := s.undoable.Oldest(); len(s.held) >= 64 || !open {
		s.release()
	}
}

// fix keeps what an action was instead of what was said.
func (s *undoFilter) fix(r line.Record, fix line.Corrected) {
	if s.fixes == nil {
		s.fixes = map[int64]line.Corrected{}
	}
	s.fixes[fix.Entry] = fix
	if s.put == nil {
		return
	}
	c := Correction{At: r.At, By: r.By, Is: fix, Group: fix.Entry}
	for _, h := range s.held {
		if h.Group == fix.Entry {
			c.Said = append(c.Said, h)
		}
	}
	if len(c.Said) > 0 {
		c.Text = c.Said[0].Undo
		s.put(c)
	}
}

// effective is the held records as they were, in the order in which they happened.
func (s *undoFilter) effective() []line.Record {
	if len(s.fixes) == 0 {
		return s.held
	}
	out := make([]line.Record, 0, len(s.held))
	for i := 0; i < len(s.held); {
		n := i + 1
		for n < len(s.held) && s.held[n].Group == s.held[i].Group {
			n++
		}
		if fix, ok := s.fixes[s.held[i].Group]; ok {
			out = append(out, line.Fixed(s.held[i:n], &fix)...)
		} else {
			out = append(out, s.held[i:n]...)
		}
		i = n
	}
	slices.SortStableFunc(out, func(x, y line.Record) int { return x.At.Compare(y.At) })
	return out
}

// release passes on what happened before the oldest action that can be put right.
func (s *undoFilter) release() {
	_, oldest, open := s.undoable.Oldest()
	kept := s.held[:0:0]
	for _, r := range s.effective() {
		if open && !r.At.Before(oldest) {
			break
		}
		s.out(r)
	}
	for _, r := range s.held {
		at := r.At
		if fix, ok := s.fixes[r.Group]; ok && !fix.At.IsZero() {
			at = fix.At
		}
		if open && !at.Before(oldest) {
			kept = append(kept, r)
		}
	}
	s.held = kept
	if !open {
		clear(s.fixes)
	}
}

func (s *undoFilter) flush() {
	s.undoable = line.UndoStack{}
	s.release()
}

// TakenBack lists the groups that these records took back, for who reads only some of a
// journal's records.
func TakenBack(all []line.Record) map[int64]bool {
	gone := map[int64]bool{}
	var stack line.UndoStack
	for _, r := range all {
		if group, taken := stack.Add(r); taken {
			gone[group] = true
		} else if e, ok := r.Event.(line.Corrected); ok {
			delete(gone, e.Entry)
		}
	}
	return gone
}
