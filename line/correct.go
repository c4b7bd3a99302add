package line

import (
	"reflect"
	"slices"
	"strings"
	"time"

	"shedbell/line/say"
)

// Correct puts right what was said of an action: only what is given is changed. What
// happened since is worked out again.
type Correct struct {
	Entry int64     // the action: Done.Entry
	At    time.Time // it was at another time
	By    string    // somebody else did it
	Trays int       // another number of trays, from then on
	Slot  int       // another slot of the station, counted from 1
	Out   bool      // it was never done; what makes no sense without it neither
	Back  bool      // it was done after all, in the way that was said first
}

// Corrected is what an action was instead of what was said. It is the whole difference,
// so the last one counts, and one that says nothing leaves the action as it was said.
// Zero values are as said.
type Corrected struct {
	Entry  int64     // Group of the action
	At     time.Time `json:",omitzero"`
	By     string    `json:",omitempty"`
	Events Events    `json:",omitempty"` // in place of the action's own
	Out    bool      `json:",omitempty"` // it was not done
}

// plain says that an action is as it was said.
func (e *Corrected) plain() bool {
	return e.At.IsZero() && e.By == "" && len(e.Events) == 0 && !e.Out
}

func (e Corrected) apply(s *State, r Record) { s.correct(e, r, true) }

// correct puts a fix in and works out what follows. The world stays as it is: what
// drew current counts as on until somebody says otherwise, and no breaker cools down.
// Numbers that were given are not given again.
func (s *State) correct(fix Corrected, r Record, keepsOn bool) {
	i := s.actionOf(fix.Entry)
	if i < 0 {
		return
	}
	was := s.undo[i]
	next := s.without(i, fix, r)
	if next == nil {
		next = s.retold([]Corrected{fix}, r, nil)
	}
	next.LastID, next.ChoreID = max(s.LastID, next.LastID), max(s.ChoreID, next.ChoreID)
	next.Ahead, next.Acting, next.LastPromise = s.Ahead, s.Acting, s.LastPromise // what is no entry
	next.PowerPast = s.PowerPast                                                 // it was so, whatever the books say
	next.Site, next.File = s.Site, s.File                                        // nor do words move a plug
	next.unlearn(s.Learned)
	next.Entries = s.Entries // signed; only a later entry corrects one
	if keepsOn {
		books, since := next.Power, r.At
		if fix.Out {
			books.Heat, since = was.before.Power.Heat, was.when()
		}
		next.Power = s.Power.TakenBack(&s.Site.Panel, books, since, r.At)
		next.agree(r.At)
		next.since = &told{r: r, power: &s.Power, prev: next.since}
	}
	*s = *next
}

// without is the state with an action taken out that is the last one that counts: what
// was before it, and on that what belongs to no action. It is nil for every other fix,
// which changes what came after it.
func (s *State) without(i int, fix Corrected, r Record) *State {
	if !fix.Out || i != s.lastAction() {
		return nil
	}
	next := new(State)
	*next = s.undo[i].before
	next.PowerPast = s.PowerPast.until(next.At)
	for k, a := range s.undo[i:] {
		since := s.since
		if i+k+1 < len(s.undo) {
			since = s.undo[i+k+1].prior
		}
		for _, t := range since.list() {
			if t.power == nil && t.r.Group != a.group {
				next = applyEvent(next, t.r)
			}
		}
	}
	out := *s.undo[i]
	out.fix, out.fixed, out.with = &fix, r.At, r.Group
	next.undo, next.since = slices.Clone(s.undo), s.since
	next.undo[i] = &out
	next.Seq, next.At = s.Seq, s.At
	return next
}

// agree has the steps on the line do what the books say of their machines: those of a
// machine that is off are held.
func (s *State) agree(at time.Time) {
	s.stopSteps(func(load int) bool { _, on := s.Power.Loads[load].InBooks(); return !on }, at)
	differs := func(step *Step) bool {
		if !s.hasLoad(step.Load) || !step.keepsOn(step.Load) {
			return false
		}
		setting, on := s.Power.Loads[step.Load].InBooks()
		return on && setting != step.Setting
	}
	any := false
	s.eachStep(func(step *Step) { any = any || differs(step) })
	if !any {
		return
	}
	s.Batches, s.Chores = slices.Clone(s.Batches), slices.Clone(s.Chores)
	s.eachStep(func(step *Step) {
		if differs(step) {
			step.Setting, _ = s.Power.Loads[step.Load].InBooks()
		}
	})
}

// actionOf is the index of an action, -1 where it is none that can be put right.
func (s *State) actionOf(group int64) int {
	return slices.IndexFunc(s.undo, func(a *action) bool { return a.group == group })
}

// decide works the fixes out and refuses them where something since would make no sense
// with them. What makes no sense without an action is taken back with it, the latest
// first.
func (c Correct) decide(d *draft) *Refusal {
	fixes, no := d.fixes(c)
	if no != nil {
		return no
	}
	before := map[int64]string{} // what made no sense as it was
	by := Record{At: d.now}
	d.s.retold(nil, by, func(a *action, no *Refusal) bool { before[a.group] = no.Error(); return false })
	for {
		var a *action
		var why *Refusal
		d.s.retold(fixes, by, func(odd *action, no *Refusal) bool {
			if before[odd.group] == no.Error() {
				return false
			}
			a, why = odd, no
			return true
		})
		if a == nil {
			break
		}
		if !c.Out {
			return refuse(RuleOrder, "line.correct-no-sense", say.Kept(a.text), say.Time(a.when()), why.Reason())
		}
		gone := Corrected{Entry: a.group}
		if a.fix != nil {
			gone = *a.fix
		}
		gone.Out = true
		fixes = append(fixes, gone)
	}
	if no := d.s.retold(fixes, by, nil).unsound(); no != nil {
		return no
	}
	if c.Out {
		slices.Reverse(fixes)
	}
	for _, f := range fixes {
		d.emit(f)
	}
	return nil
}

// unsound says what cannot be in a state that words have made.
func (s *State) unsound() *Refusal {
	d := draft{s: s}
	taken := map[Place]bool{}
	take := func(at Place) *Refusal {
		if taken[at] {
			return refuse(RuleOccupied, "line.not-free", d.at(at))
		}
		taken[at] = true
		return nil
	}
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Trays < 0 || b.Trays == 0 && b.Fate != Merged {
			return refuse(RuleValue, "line.split-one", b.Label())
		}
		if b.Fate != OnLine {
			continue
		}
		if no := take(b.Step.Place); no != nil {
			return no
		}
	}
	for i := range s.Chores {
		if no := take(s.Chores[i].Step.Place); no != nil {
			return no
		}
	}
	return nil
}

// fixes is what has to be put right so that an action is as the command says.
func (d *draft) fixes(c Correct) ([]Corrected, *Refusal) {
	i := d.s.actionOf(c.Entry)
	if i < 0 {
		return nil, refuse(RuleUnknown, "line.correct-too-old", undoDepth)
	}
	a, said := d.s.undo[i], d.s.said(i)
	fix := Corrected{Entry: a.group}
	if a.fix != nil && (a.out() || !c.Back) {
		fix = *a.fix
		fix.Events = slices.Clone(fix.Events)
	}
	fix.Out = c.Out || fix.Out && !c.Back
	if no := d.fixWhen(&fix, a, c); no != nil {
		return nil, no
	}
	if len(fix.Events) == 0 {
		fix.Events = eventsOf(said)
	}
	if no := d.fixWhat(&fix, a, c); no != nil {
		return nil, no
	}
	out := []Corrected{fix}
	to, put := putAt(fix.Events)
	if from, was := putAt(eventsOf(Fixed(said, a.fix))); was && put && from != to && !fix.Out {
		out = append(out, d.s.follow(&fix, from, to)...)
	}
	if same(fix.Events, said) {
		out[0].Events = nil
	}
	if c.Back && a.out() {
		out = append(out, d.s.backWith(a)...)
	}
	if a.fix == nil && out[0].plain() || a.fix != nil && reflect.DeepEqual(*a.fix, out[0]) {
		return nil, refuse(RuleNothing, "line.correct-same")
	}
	return out, nil
}

// fixWhen puts in when it was done, and by whom.
func (d *draft) fixWhen(fix *Corrected, a *action, c Correct) *Refusal {
	if !c.At.IsZero() {
		if no := d.tellable(c.At); no != nil {
			return no
		}
		if fix.At = c.At.Round(0); c.At.Equal(a.at) {
			fix.At = time.Time{}
		}
	}
	if c.By != "" {
		if unfit(c.By) || strings.TrimSpace(c.By) == "" {
			return refuse(RuleValue, "line.crew-no-name")
		}
		if fix.By = c.By; c.By == a.by {
			fix.By = ""
		}
	}
	return nil
}

// fixWhat puts in how many trays it was, and in which slot.
func (d *draft) fixWhat(fix *Corrected, a *action, c Correct) *Refusal {
	if c.Trays != 0 && !fix.count(c.Trays) {
		return refuse(RuleNothing, "line.correct-no-trays")
	}
	if b := a.before.Batch(fix.batch()); c.Trays != 0 && b != nil && b.Fate == OnLine {
		if at := b.Step.Place; c.Trays > d.s.Site.Stations[at.Station].SlotTrays {
			return refuse(RuleCapacity, "line.too-many-for-place", b.Label(), c.Trays, d.at(at), d.s.Site.Stations[at.Station].SlotTrays)
		}
	}
	if c.Slot != 0 {
		to, put := putAt(fix.Events)
		if to.Slot = c.Slot - 1; !put || !d.s.valid(to) {
			return refuse(RuleNothing, "line.correct-no-slot")
		}
		fix.into(to.Slot)
	}
	return nil
}

// backWith is what comes back together with an action: what was taken back with it.
func (s *State) backWith(a *action) (out []Corrected) {
	for _, other := range s.undo {
		if other != a && other.out() && other.with == a.with {
			again := *other.fix
			again.Out = false
			out = append(out, again)
		}
	}
	return out
}

func eventsOf(records []Record) (out Events) {
	for _, r := range records {
		out = append(out, r.Event)
	}
	return out
}

// said is the records of an action as they were said.
func (s *State) said(i int) []Record {
	next := s.since
	if i+1 < len(s.undo) {
		next = s.undo[i+1].prior
	}
	return next.of(s.undo[i].group)
}

// of is the records of a group.
func (t *told) of(group int64) (out []Record) {
	for _, one := range t.list() {
		if one.r.Group == group {
			out = append(out, one.r)
		}
	}
	return out
}

func same(events []Event, said []Record) bool {
	return slices.EqualFunc(events, said, func(e Event, r Record) bool { return reflect.DeepEqual(e, r.Event) })
}

// tellable says whether something can have happened at an instant: not later than now,
// nor before what is too long ago to be told again.
func (d *draft) tellable(at time.Time) *Refusal {
	oldest := d.s.undo[0].when()
	switch {
	case at.After(d.now):
		return refuse(RuleValue, "line.correct-later", say.Time(at))
	case at.Before(oldest):
		return refuse(RuleValue, "line.correct-earlier", say.Time(at), say.Time(oldest))
	}
	return nil
}

// count has an action be about another number of trays; false where it is about none.
func (e *Corrected) count(trays int) bool {
	e.Events = slices.DeleteFunc(e.Events, func(e Event) bool { _, ok := e.(TraysFound); return ok })
	for i, event := range e.Events {
		if chore, ok := event.(ChoreStarted); ok {
			chore.Trays = trays
			e.Events[i] = chore
			return true
		}
	}
	batch := e.batch()
	if batch > 0 {
		e.Events = append(Events{TraysFound{Batch: batch, Trays: trays}}, e.Events...)
	}
	return batch > 0
}
