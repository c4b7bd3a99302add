package line

import (
	"slices"
	"time"

	"shedbell/line/say"
)

// Done is an action that can be taken back or put right.
type Done struct {
	Entry  int64
	Text   say.Sentence
	At     time.Time // when it was done
	By     string
	Said   []Record // as it was said
	Is     []Record // as it was; the same where nothing was put right, none where it was taken back
	Fixed  time.Time
	Fix    Corrected // the difference between the two
	Out    bool      // it was taken back
	Before *State
	Batch  int // 0: none
	Trays  int // how many it is about; 0: none that could be put right
	Slots  int // of the station where it put something; 0: it did not
	Slot   int // where that was, from 1
	Oldest time.Time
}

// Done lists the last actions, the latest first.
func (s *State) Done(most int) (out []Done) {
	for i := len(s.undo) - 1; i >= 0 && len(out) < most; i-- {
		out = append(out, s.done(i))
	}
	return out
}

// DoneNo is one action.
func (s *State) DoneNo(entry int64) (Done, bool) {
	i := s.actionOf(entry)
	if i < 0 {
		return Done{}, false
	}
	return s.done(i), true
}

func (s *State) done(i int) Done {
	a := s.undo[i]
	d := Done{Entry: a.group, Text: say.Kept(a.text), At: a.when(), By: a.by, Said: s.said(i), Fixed: a.fixed, Out: a.out(), Before: &a.before, Oldest: s.undo[0].when()}
	d.Is = Fixed(d.Said, a.fix)
	if a.fix != nil {
		d.Fix = *a.fix
		if a.fix.By != "" {
			d.By = a.fix.By
		}
	}
	events := eventsOf(d.Is)
	all := Corrected{Events: events}
	d.Batch, d.Trays = all.batch(), all.trays(&a.before)
	if at, ok := putAt(events); ok && s.valid(at) {
		d.Slots, d.Slot = s.Site.Stations[at.Station].Slots, at.Slot+1
	}
	return d
}

// trays is how many trays events are about; 0 where they are about none.
func (e *Corrected) trays(before *State) int {
	for _, event := range e.Events {
		switch one := event.(type) {
		case TraysFound:
			return one.Trays
		case ChoreStarted:
			return one.Trays
		}
	}
	if b := before.Batch(e.batch()); b != nil {
		return b.Trays
	}
	return 0
}

// batch is the batch that events are about; 0: none.
func (e *Corrected) batch() int {
	for _, event := range e.Events {
		switch one := event.(type) {
		case StepStarted:
			return one.Batch
		case StepFinished:
			return one.Batch
		case BatchLoaded:
			return one.Batch
		case BatchCooled:
			return one.Batch
		}
	}
	return 0
}

// putAt is the place into which events put something last.
func putAt(events []Event) (at Place, ok bool) {
	for _, event := range slices.Backward(events) {
		switch one := event.(type) {
		case StepStarted:
			return one.At, true
		case BatchLoaded:
			return one.At, true
		case ChoreStarted:
			return one.At, true
		}
	}
	return at, false
}

// Says is what was put right of what had been said, in sentences.
func (e *Corrected) Says(said []Record) say.Speech {
	if e.Out {
		return say.Speech{say.New("fix.out")}
	}
	var out say.Speech
	if !e.At.IsZero() {
		out = append(out, say.New("fix.at", say.TimeToSecond(e.At)))
	}
	if e.By != "" {
		out = append(out, say.New("fix.by", say.Person(e.By)))
	}
	if len(e.Events) > 0 {
		before := Corrected{Events: eventsOf(said)}
		was, _ := putAt(before.Events)
		is, ok := putAt(e.Events)
		if ok && is != was {
			out = append(out, say.New("fix.slot", SlotLetter(is.Slot)))
		}
		if n := e.trays(&State{}); n > 0 && n != before.trays(&State{}) {
			out = append(out, say.New("fix.trays", n))
		}
		if !ok {
			out = append(out, say.New("fix.elsewhere"))
		}
	}
	if len(out) == 0 {
		out = append(out, say.New("fix.as-said"))
	}
	return out
}
