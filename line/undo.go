package line

import (
	"shedbell/line/say"
	"time"
)

// undoDepth is how many actions can be taken back, one after the other. It bounds
// what a long day keeps in memory.
const undoDepth = 20

// undoEntry is an action that can be taken back: what to call it, when it was done
// and the state before it.
type undoEntry struct {
	text   string
	at     time.Time
	before State
}

// CanUndo says what Undo would take back.
func (s *State) CanUndo() (what say.Sentence, ok bool) {
	if len(s.undo) == 0 {
		return what, false
	}
	return say.Kept(s.undo[len(s.undo)-1].text), true
}

// remember keeps the state before a record that can be undone. An event that
// cannot be taken back, but changed the line, closes the way to what was before.
func (s *State) remember(before *State, r Record) {
	if r.Undo == "" {
		if r.Seq == r.Group && isBarrier(r.Event) {
			s.undo = nil
		}
		return
	}
	kept := before.undo
	if len(kept) >= undoDepth {
		kept = kept[len(kept)-undoDepth+1:]
	}
	entry := &undoEntry{text: r.Undo, at: r.At, before: *before}
	entry.before.undo = nil // else every state would keep all the earlier ones alive
	s.undo = append(append(make([]*undoEntry, 0, len(kept)+1), kept...), entry)
}

func isBarrier(e Event) bool {
	switch e.(type) {
	case LineLaid, WatchLost, RecipeRevised:
		return true
	}
	return false
}

// An undo comes back to the state before the last action that can be taken back. The
// numbers of batches and chores are not given out again, the computer's clock stays
// where it is, and so does the board; so do the machines.
func (e Undone) apply(s *State, r Record) {
	n := len(s.undo)
	if n == 0 {
		return
	}
	last := s.undo[n-1]
	next := last.before
	next.undo = s.undo[:n-1]
	next.LastID, next.ChoreID, next.Ahead = s.LastID, s.ChoreID, s.Ahead
	next.PowerPast = s.PowerPast          // it was so, whatever the books say
	next.Site, next.File = s.Site, s.File // nor does it move a plug
	next.Acting = s.Acting                // who takes it back
	next.LastPromise = s.LastPromise
	next.Entries = s.Entries // signed; only a later entry corrects one
	if e.KeepsOn {
		next.Power = s.Power.TakenBack(&s.Site.Panel, next.Power, last.at, r.At)
	}
	*s = next
}

// UndoStack follows records in their order and tells which action each undo takes
// back, for readers that keep no state. Its zero value is ready.
type UndoStack struct {
	groups []int64 // first records of the actions that can be taken back, oldest first
}

// Add takes the next record. For an undo it gives the group of the action that it
// takes back; ok is false for every other record.
func (t *UndoStack) Add(r Record) (group int64, ok bool) {
	if _, undo := r.Event.(Undone); undo {
		n := len(t.groups)
		if n == 0 {
			return 0, false
		}
		group = t.groups[n-1]
		t.groups = t.groups[:n-1]
		return group, true
	}
	if r.Undo == "" {
		if r.Seq == r.Group && isBarrier(r.Event) {
			t.groups = t.groups[:0]
		}
		return 0, false
	}
	if len(t.groups) >= undoDepth {
		t.groups = append(t.groups[:0], t.groups[1:]...)
	}
	t.groups = append(t.groups, r.Group)
	return 0, false
}

// Oldest is the group of the oldest action that can still be taken back; ok is
// false where there is none.
func (t *UndoStack) Oldest() (group int64, ok bool) {
	if len(t.groups) == 0 {
		return 0, false
	}
	return t.groups[0], true
}
