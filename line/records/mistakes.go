package records

import (
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// MistakeKind is what kind of mistake it is.
type MistakeKind uint8

// Mistakes.
const (
	MistakeEarly   MistakeKind = iota // a countdown was not waited for
	MistakeLate                       // a countdown was over for long before anybody came
	MistakeWet                        // greens waited wet beyond their limit
	MistakeOrder                      // something less pressing was done first
	MistakeRefused                    // the line refused a start
	MistakeHasty                      // work by hand was said to be done before it could be
)

var mistakeNames = []string{"early", "late", "wet", "order", "refused", "hasty"}

// String is the kind's name.
func (k MistakeKind) String() string {
	if int(k) < len(mistakeNames) {
		return mistakeNames[k]
	}
	return "unknown"
}

// DefaultPatience is how long a countdown may be over before it counts as late:
// common practice, no source.
const DefaultPatience = 2 * time.Minute

// Mistake is one thing that should go otherwise next time.
type Mistake struct {
	Kind    MistakeKind
	At      time.Time     // when it was made, or began
	By      string        // who; empty where nobody acted
	Batch   string        // name of the greens; empty: a chore
	Station line.Kind     // where, with Early and Late
	Where   string        // the place's name, with Early and Late
	Amount  time.Duration // too early, over, or waited
	Limit   time.Duration // Wet: what was allowed
	Says    say.Speech    // Refused: why, without its opening
	Prompt  *line.Prompt  // Order: what was more pressing
	State   *line.State   // Order: the line that the prompt is about
	Stands  bool          // Late and Wet: it still goes on

	group int64 // Early, Hasty and Order: the action that made it
	since time.Time
}

// Mistakes watches a practice day and finds what went wrong: greens taken out too
// early, a countdown over for long, work by hand that was done in no time, greens that waited wet beyond their limit, the less
// pressing thing done first, a start that was refused.
//
// It folds the records of the same Decide and Apply as the live line, so it judges
// what was done and not which keys did it.
type Mistakes struct {
	state    *line.State
	patience time.Duration
	found    []Mistake
	past     []pastState // states of the last while, oldest first
	group    int64       // of the last record
	undoable line.UndoStack
	well     int                          // steps that went as they should
	adjusted map[line.Place]time.Duration // by hand, of the step that runs there
	undo     []adjustment                 // oldest first
}

// pastState is a state from the instant on at which it came about.
type pastState struct {
	state *line.State
	at    time.Time
}

// NewMistakes begins at a state. Patience is how long a countdown may be over; 0 means
// DefaultPatience.
func NewMistakes(s *line.State, patience time.Duration) *Mistakes {
	if patience <= 0 {
		patience = DefaultPatience
	}
	return &Mistakes{state: s, patience: patience, past: []pastState{{state: s}}, adjusted: map[line.Place]time.Duration{}}
}

// Seq is the number of the last record that was taken.
func (f *Mistakes) Seq() int64 { return f.state.Seq }

// Add takes the next record. Those that the state holds already are passed over.
func (f *Mistakes) Add(r line.Record) {
	if r.Seq <= f.state.Seq {
		return
	}
	f.found = look(f.found, f.state, r.At, f.patience)
	taken, ok := f.undoable.Add(r)
	if ok { // put right at once: nothing to teach
		f.found = slices.DeleteFunc(f.found, func(m Mistake) bool { return m.group != 0 && m.group == taken })
		f.takeBack(taken)
	}
	if r.Group != f.group {
		f.group = r.Group
		f.order(r)
	}
	f.step(r)
	f.state = line.Apply(f.state, r)
	f.keep(r.At)
	f.found = settle(f.found, f.state, r.At, f.patience)
}

// At lists the mistakes up to an instant, in the order in which they came about.
func (f *Mistakes) At(now time.Time) []Mistake {
	return look(slices.Clone(f.found), f.state, now, f.patience)
}

// step judges what a record does by itself.
func (f *Mistakes) step(r line.Record) {
	switch e := r.Event.(type) {
	case line.StepStarted:
		f.adjust(r.Group, e.At, -f.adjusted[e.At])
	case line.StepAdjusted:
		if r.Seq == r.Group { // by a person; a machine's new setting comes with a start
			f.adjust(r.Group, e.At, e.By)
		}
	case line.StepFinished:
		n := len(f.found)
		f.early(e, r)
		f.countWell(e, r, n)
	case line.Refused:
		f.refused(e, r)
	}
}

// countWell counts a step that ended in time and without a mistake.
func (f *Mistakes) countWell(e line.StepFinished, r line.Record, found int) {
	b := f.state.Batch(e.Batch)
	if b == nil || len(f.found) > found {
		return
	}
	if due, ok := b.Step.DueAt(); !ok || r.At.Sub(due) <= f.patience {
		f.well++
	}
}

// Well is how many steps ended when they should, neither early nor late.
func (f *Mistakes) Well() int { return f.well }

// adjustment is what an action has done to Fold.adjusted.
type adjustment struct {
	group int64
	at    line.Place
	by    time.Duration
}

func (f *Mistakes) adjust(group int64, at line.Place, by time.Duration) {
	if by != 0 {
		f.adjusted[at] += by
		f.undo = append(f.undo, adjustment{group, at, by})
	}
}

// takeBack undoes the adjustments of an action.
func (f *Mistakes) takeBack(group int64) {
	for len(f.undo) > 0 && f.undo[len(f.undo)-1].group >= group {
		last := f.undo[len(f.undo)-1]
		f.adjusted[last.at] -= last.by
		f.undo = f.undo[:len(f.undo)-1]
	}
}

// early finds greens that came out before their recipe's time. Taking time off the
// countdown first makes it no better.
func (f *Mistakes) early(e line.StepFinished, r line.Record) {
	b := f.state.Batch(e.Batch)
	if b == nil || b.Fate != line.OnLine {
		return
	}
	if b.Step.Planned == 0 {
		if f.state.Hasty(b.Step.Place, r.At) {
			f.found = append(f.found, Mistake{Kind: MistakeHasty, At: r.At, By: r.By, Batch: b.Name(), Station: f.kind(b.Step.Place),
				Where: f.state.PlaceName(b.Step.Place), Amount: b.Step.Ran(r.At), group: r.Group})
		}
		return
	}
	left := b.Step.Left(r.At) + max(0, -f.adjusted[b.Step.Place])
	if left <= line.Early {
		return
	}
	f.found = append(f.found, Mistake{Kind: MistakeEarly, At: r.At, By: r.By, Batch: b.Name(), Station: f.kind(b.Step.Place),
		Where: f.state.PlaceName(b.Step.Place), Amount: left, group: r.Group})
}

// harmlessRules are refusals of what cannot do harm: a slip of the finger, a value that
// was typed wrong.
var harmlessRules = []string{line.RuleNothing, line.RuleValue, line.RuleUnknown, line.RuleDay}

// sameRefusal is how soon the same refusal is the same mistake.
const sameRefusal = 2 * time.Minute

func (f *Mistakes) refused(e line.Refused, r line.Record) {
	if slices.Contains(harmlessRules, e.Rule) {
		return
	}
	why := e.Reason()
	same := func(m Mistake) bool {
		return m.Kind == MistakeRefused && m.Says.String() == why.String() && r.At.Sub(m.At) < sameRefusal
	}
	if slices.ContainsFunc(f.found, same) {
		return
	}
	f.found = append(f.found, Mistake{Kind: MistakeRefused, At: r.At, By: r.By, Says: why})
}

func (f *Mistakes) kind(p line.Place) line.Kind { return f.state.Site.Stations[p.Station].Kind }

// look finds what goes wrong while nobody does anything, and how far it has gone by
// an instant.
func look(found []Mistake, s *line.State, now time.Time, patience time.Duration) []Mistake {
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Fate != line.OnLine {
			continue
		}
		found = overdue(found, s, &b.Step, b.Name(), now, patience)
		wait, limit := s.WetWait(b, now), s.WetLimit(b)
		if limit > 0 && wait > limit {
			since := now.Add(-wait)
			found = stands(found, Mistake{Kind: MistakeWet, At: since.Add(limit), Batch: b.Name(), Amount: wait, Limit: limit, since: since})
		}
	}
	for i := range s.Chores {
		found = overdue(found, s, &s.Chores[i].Step, "", now, patience)
	}
	return found
}

func overdue(found []Mistake, s *line.State, step *line.Step, batch string, now time.Time, patience time.Duration) []Mistake {
	due, ok := step.DueAt()
	if !ok || now.Sub(due) <= patience {
		return found
	}
	return stands(found, Mistake{Kind: MistakeLate, At: due.Add(patience), Batch: batch, Station: s.Site.Stations[step.Place.Station].Kind,
		Where: s.PlaceName(step.Place), Amount: now.Sub(due), since: step.Started})
}

// stands puts in a mistake that goes on, or how far it has gone.
func stands(found []Mistake, m Mistake) []Mistake {
	m.Stands = true
	for i := range found {
		o := &found[i]
		if o.Kind == m.Kind && o.Batch == m.Batch && o.Where == m.Where && o.since.Equal(m.since) {
			o.Amount, o.Stands = m.Amount, true
			return found
		}
	}
	return append(found, m)
}

// settle marks the mistakes that a record has ended.
func settle(found []Mistake, s *line.State, now time.Time, patience time.Duration) []Mistake {
	for i := range found {
		found[i].Stands = false
	}
	return look(found, s, now, patience)
}
