package line

import (
	"slices"
	"time"

	"shedbell/line/say"
	"shedbell/power"
)

// undoDepth is how many actions can be taken back or put right, one after the other. It
// bounds what a long day keeps in memory.
const undoDepth = 20

// action is what somebody said was done: the records of one command, with the state
// before them. What was said stays; a fix says what it was instead.
type action struct {
	text   string // what to call it
	group  int64  // number of its first record
	at     time.Time
	by     string
	fix    *Corrected // nil: as it was said
	fixed  time.Time  // when the fix was entered
	with   int64      // Group of the fix's record: what was put right together
	before State
	prior  *told // records of the action before it, and of what followed that
}

// told is a record in a list whose newest comes first. States share its end. Of a
// correction it has what the machines counted as before it: that is doubted, not undone.
type told struct {
	r     Record
	power *power.State
	prev  *told
}

// list is all of them, the oldest first.
func (t *told) list() (out []*told) {
	for ; t != nil; t = t.prev {
		out = append(out, t)
	}
	slices.Reverse(out)
	return out
}

func (a *action) out() bool { return a.fix != nil && a.fix.Out }

// when is the instant at which it was done, as far as that is known.
func (a *action) when() time.Time {
	if a.fix != nil && !a.fix.At.IsZero() {
		return a.fix.At
	}
	return a.at
}

// CanUndo says what Undo would take back.
func (s *State) CanUndo() (what say.Sentence, ok bool) {
	if i := s.lastAction(); i >= 0 {
		return say.Kept(s.undo[i].text), true
	}
	return what, false
}

// lastAction is the index of the last action that counts, -1 where there is none.
func (s *State) lastAction() int {
	for i := len(s.undo) - 1; i >= 0; i-- {
		if !s.undo[i].out() {
			return i
		}
	}
	return -1
}

// remember keeps the state before a record that can be taken back, and every record
// since the oldest of those. Another line, or a recipe from a file, closes the way to what
// was before.
func (s *State) remember(before *State, r Record) {
	switch r.Event.(type) {
	case Corrected, Undone:
		return
	}
	switch {
	case r.Undo != "":
		a := &action{text: r.Undo, group: r.Group, at: r.At, by: r.By, before: *before, prior: before.since}
		a.before.undo, a.before.since, a.before.PowerPast = nil, nil, nil // else every state would keep all the earlier ones alive
		kept := forgotten(before.undo, (*action).out)
		s.undo = append(append(make([]*action, 0, len(kept)+1), kept...), a)
		s.since = &told{r: r}
	case r.Seq == r.Group && isBarrier(r.Event):
		s.undo, s.since = nil, nil
	case len(s.undo) > 0:
		s.since = &told{r: r, prev: s.since}
	}
}

// forgotten is a list of actions without those that are too long ago once there is one
// more.
func forgotten[A any](all []A, out func(A) bool) []A {
	count := len(all)
	for _, a := range all {
		if out(a) {
			count--
		}
	}
	for len(all) > 0 && (count >= undoDepth || len(all) >= 2*undoDepth) {
		if !out(all[0]) {
			count--
		}
		all = all[1:]
	}
	return all
}

func isBarrier(e Event) bool {
	switch e.(type) {
	case LineLaid, RecipeRevised:
		return true
	}
	return false
}

// An undo takes back the last action that counts.
func (e Undone) apply(s *State, r Record) {
	i := s.lastAction()
	if at := s.actionOf(e.Entry); at >= 0 {
		i = at
	}
	if i < 0 {
		return
	}
	fix := Corrected{Entry: s.undo[i].group}
	if was := s.undo[i].fix; was != nil {
		fix = *was
	}
	fix.Out = true
	s.correct(fix, r, e.KeepsOn)
}

// UndoStack follows records in their order and tells which action each undo takes
// back, for readers that keep no state. Its zero value is ready.
type UndoStack struct{ actions []stacked }

type stacked struct {
	group int64 // number of its first record
	said  time.Time
	at    time.Time
	out   bool
}

// Add takes the next record. For one that takes an action back it gives the group of
// that action; ok is false for every other record.
func (t *UndoStack) Add(r Record) (group int64, ok bool) {
	switch e := r.Event.(type) {
	case Undone:
		for i := len(t.actions) - 1; i >= 0; i-- {
			if a := &t.actions[i]; !a.out && (e.Entry == 0 || e.Entry == a.group) {
				a.out = true
				return a.group, true
			}
		}
		return 0, false
	case Corrected:
		for i := range t.actions {
			if a := &t.actions[i]; a.group == e.Entry {
				a.out = e.Out
				t.move(i, e.At)
				return e.Entry, e.Out
			}
		}
		return 0, false
	}
	switch {
	case r.Undo != "":
		t.actions = append(forgotten(t.actions, func(a stacked) bool { return a.out }), stacked{group: r.Group, said: r.At, at: r.At})
	case r.Seq == r.Group && isBarrier(r.Event):
		t.actions = t.actions[:0]
	}
	return 0, false
}

// move puts an action where it was done; zero is where it was said.
func (t *UndoStack) move(i int, to time.Time) {
	a := t.actions[i]
	rest := slices.Delete(slices.Clone(t.actions), i, i+1)
	after := func(x stacked) bool { return x.group > a.group }
	if a.at = to; to.IsZero() || to.Equal(a.said) {
		a.at = a.said
	} else {
		after = func(x stacked) bool { return x.at.After(to) }
	}
	if at := slices.IndexFunc(rest, after); at >= 0 {
		t.actions = slices.Insert(rest, at, a)
	} else {
		t.actions = append(rest, a)
	}
}

// Oldest is the oldest action that can still be taken back or put right, and when it was
// done; ok is false where there is none.
func (t *UndoStack) Oldest() (group int64, at time.Time, ok bool) {
	if len(t.actions) == 0 {
		return 0, at, false
	}
	return t.actions[0].group, t.actions[0].at, true
}
