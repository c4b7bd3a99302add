package line

import (
	"cmp"
	"slices"
	"time"
)

// retelling is a record on its way through a story that is told again.
type retelling struct {
	*told
	action *action  // the action that begins here, nil: none does
	said   []Record // its own records as they were said
	own    bool     // it belongs to an action
}

// story is what has been recorded since the oldest action that can be put right, with
// fixes in it, in the order in which it happened.
func (s *State) story(fixes []Corrected, by Record) []retelling {
	var out []retelling
	var moved [][]retelling
	for i, a := range s.undo {
		next := s.since
		if i+1 < len(s.undo) {
			next = s.undo[i+1].prior
		}
		again := *a
		for _, fix := range fixes {
			if a.group != fix.Entry {
				continue
			}
			if again.fix, again.fixed, again.with = &fix, by.At, by.Group; fix.plain() {
				again.fix, again.fixed, again.with = nil, time.Time{}, 0
			}
		}
		own := next.of(a.group)
		begins := Record{At: again.when(), Seq: a.group}
		done := []retelling{{told: &told{r: begins}, action: &again, said: own}}
		for _, r := range Fixed(own, again.fix) {
			done = append(done, retelling{told: &told{r: r}, own: true})
		}
		if begins.At.Equal(a.at) {
			out = append(out, done...)
		} else {
			moved = append(moved, done)
		}
		for _, t := range next.list() {
			if t.r.Group != a.group {
				out = append(out, retelling{told: t})
			}
		}
	}
	slices.SortStableFunc(out, func(x, y retelling) int { return cmp.Compare(x.r.Seq, y.r.Seq) }) // the clock may have been set back
	for _, done := range moved {
		at := slices.IndexFunc(out, func(t retelling) bool { return !t.own && t.r.At.After(done[0].r.At) })
		if at < 0 {
			at = len(out)
		}
		out = slices.Insert(out, at, done...)
	}
	return out
}

// Fixed is the records of an action as a fix has them; none where it was not done.
func Fixed(said []Record, fix *Corrected) []Record {
	if fix == nil || fix.plain() || len(said) == 0 {
		return said
	}
	if fix.Out {
		return nil
	}
	out := slices.Clone(said)
	if len(fix.Events) > 0 {
		for len(out) < len(fix.Events) {
			out = append(out, out[len(out)-1])
		}
		out = out[:len(fix.Events)]
	}
	for i := range out {
		if len(fix.Events) > 0 {
			out[i].Event = fix.Events[i]
		}
		if !fix.At.IsZero() {
			out[i].At = fix.At
		}
		out[i].By = cmp.Or(fix.By, out[i].By)
	}
	return out
}

// retold is the state as it comes out when the story is told again with fixes in it. odd
// hears of each action that makes no sense in it, in their order, and may stop there; nil:
// nobody asks.
func (s *State) retold(fixes []Corrected, by Record, odd func(*action, *Refusal) (stop bool)) *State {
	first := s.undo[0].before
	first.PowerPast = s.PowerPast.until(first.At)
	next := &first
	var at *action
	for _, t := range s.story(fixes, by) {
		if t.action != nil {
			at = t.action
			at.before, at.prior = *next, next.since
			at.before.undo, at.before.since, at.before.PowerPast = nil, nil, nil
			again := *next
			again.undo, again.since = append(slices.Clip(next.undo), at), nil
			for _, r := range t.said {
				again.since = &told{r: r, prev: again.since}
			}
			next = &again
			continue
		}
		if t.own && odd != nil {
			if no := next.senseless(t.r); no != nil && odd(at, no) {
				return next
			}
		}
		undo, since := next.undo, next.since
		if t.power != nil {
			again := *next
			again.Power = t.power.TakenBack(&next.Site.Panel, next.Power, t.r.At, t.r.At)
			again.agree(t.r.At)
			next = &again
		} else {
			before := next
			next = applyEvent(before, t.r)
			next.keepPast(before, t.r)
		}
		next.undo, next.since = undo, since
		next.Seq, next.At = t.r.Seq, t.r.At
		if !t.own {
			next.since = &told{r: t.r, power: t.power, prev: since}
		}
	}
	return next
}

// senseless says why something cannot have happened in a state. What the interlock
// would have held of it is no reason: it was done.
func (s *State) senseless(r Record) *Refusal {
	d := draft{s: s, now: r.At, past: true}
	c, no := s.commandOf(r.Event)
	switch e := r.Event.(type) {
	case TraysFound:
		no = d.traysFit(e)
	case ChoreStarted:
		if e.Kind == SanitizeAll && e.Trays > s.Trays.Washed { // it takes what there is, so it had that
			no = refuse(RuleNothing, "line.trays-ready", s.Trays.Washed, d.at(e.At))
		}
	case BatchSplit:
		if b := s.Batch(e.From); b != nil && no == nil {
			no = d.splitsThere(b, e.At, e.New.Trays)
		}
	}
	if c != nil && no == nil {
		no = c.decide(&d)
	}
	if no != nil && no.Verdict != nil {
		return nil
	}
	return no
}

// splitsThere says why a part of a batch cannot have come to a place.
func (d *draft) splitsThere(b *Batch, at Place, trays int) *Refusal {
	switch {
	case at == Nowhere && b.Fate == OnLine || at != Nowhere && b.Fate != OnLine:
		return refuse(RuleOrder, "line.split-still", b.Label())
	case at == Nowhere:
		return nil
	}
	part := *b
	part.ID, part.Trays = 0, trays
	return d.slotTakes(&part, at, true)
}

// commandOf is the command that an event comes of, nil where it may happen at any time;
// what is not there cannot be worked on.
func (s *State) commandOf(event Event) (Command, *Refusal) {
	switch e := event.(type) {
	case DayOpened:
		return OpenDay{Sheet: e.Sheet}, nil
	case DayClosed:
		return CloseDay(e), nil
	case ChoreStarted:
		return StartChore{Kind: e.Kind, To: e.At, Trays: e.Trays, Crop: e.Crop, ByHand: e.ByHand}, nil
	case ChoreFinished:
		for i := range s.Chores {
			if s.Chores[i].ID == e.ID {
				return Finish{At: s.Chores[i].Step.Place}, nil
			}
		}
		return nil, refuse(RuleNothing, "line.nothing-to-finish")
	case BatchesAdded:
		if len(e.Batches) > 0 {
			return AddTrays{Demand: Demand{Crop: e.Batches[0].Crop, Trays: e.Batches[0].Trays}}, nil
		}
	case BatchSplit:
		return Split{Batch: e.From, Trays: e.New.Trays}, nil
	case BatchMerged:
		return Merge(e), nil
	case BatchScrapped:
		return Scrap(e), nil
	case TraysLost:
		return DropTrays(e), nil
	}
	return s.stepCommandOf(event)
}

// stepCommandOf is that of an event of a batch's step.
func (s *State) stepCommandOf(event Event) (Command, *Refusal) {
	switch e := event.(type) {
	case StepStarted:
		if e.Again {
			if b := s.Batch(e.Batch); b != nil && b.Fate == OnLine && b.Step.Progress == Finished {
				return nil, nil // the first half of what was done once
			}
			return Again{Batch: e.Batch, Kind: s.Site.Stations[e.At.Station].Kind}, nil
		}
		return Start{Batch: e.Batch, To: e.At, Setting: s.settingName(e.Load, e.Setting), ByHand: e.ByHand}, nil
	case BatchLoaded:
		return Put{Batch: e.Batch, To: e.At}, nil
	case StepFinished:
		if b := s.Batch(e.Batch); b != nil && b.Fate == OnLine {
			return Finish{At: b.Step.Place, Packages: e.Packages, NetG: e.NetG}, nil
		}
		return nil, refuse(RuleUnknown, "line.no-batch", e.Batch)
	case BatchCooled:
		return Start{Batch: e.Batch, To: e.At, ByHand: true}, nil
	case StepAdjusted:
		return Adjust(e), nil
	case StepHeld:
		return Hold(e), nil
	case StepResumed:
		return Resume{At: e.At, ByHand: e.ByHand}, nil
	case BatchMoved:
		return Move{Batch: e.Batch, To: e.At}, nil
	case StepSkipped:
		return Skip{Batch: e.Batch, Reason: e.Reason}, nil
	}
	return nil, nil
}

func (s *State) settingName(load, setting int) string {
	if !s.hasLoad(load) || setting < 0 || setting >= len(s.Site.Panel.Loads[load].Settings) {
		return ""
	}
	return s.Site.Panel.Loads[load].Settings[setting].Name
}
