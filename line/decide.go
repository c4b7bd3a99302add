package line

import (
	"time"

	"shedbell/line/say"
)

// Decision is Decide's yes: the events that the command causes, and what undoing
// it would take back (empty when it cannot be undone).
type Decision struct {
	Events []Event
	Undo   say.Sentence
}

// Records gives the decision's events their place in the journal after state s.
func (d Decision) Records(s *State, now time.Time, by string) []Record {
	now = notBefore(now, s.At)
	out := make([]Record, len(d.Events))
	for i, e := range d.Events {
		out[i] = Record{Seq: s.Seq + int64(i) + 1, Group: s.Seq + 1, At: now, By: by, Event: e}
	}
	if len(out) > 0 {
		out[0].Undo = d.Undo.Keep()
	}
	return out
}

// Do decides a command and applies what it causes. It is the loop that the live
// board, the rehearsal and the tests share; whoever keeps a journal writes the
// records before showing the new state.
func Do(s *State, c Command, now time.Time, by string) (*State, []Record, *Refusal) {
	d, no := Decide(s, c, now)
	if no != nil {
		return s, nil, no
	}
	records := d.Records(s, now, by)
	for _, r := range records {
		s = Apply(s, r)
	}
	return s, records, nil
}

// Decide answers a command: the events it causes, or a refusal with its reasons.
// It never changes s, and it is the only way to an event, so that no rule can be
// passed by.
func Decide(s *State, c Command, now time.Time) (Decision, *Refusal) {
	d := draft{s: s, now: notBefore(now, s.At)}
	if no := c.decide(&d); no != nil {
		return Decision{}, no
	}
	return Decision{Events: d.events, Undo: d.undo}, nil
}

// notBefore keeps the journal's instants from running backwards.
func notBefore(now, last time.Time) time.Time {
	if now.Before(last) {
		return last
	}
	return now
}

// draft is a decision being made. A part of a command that has to see what the
// parts before it did calls settle first.
type draft struct {
	s       *State
	now     time.Time
	events  []Event
	settled int // how many of the events are in s
	undo    say.Sentence
	past    bool // it was done: the interlock is not asked
}

func (d *draft) emit(e Event) { d.events = append(d.events, e) }

func (d *draft) settle() {
	for ; d.settled < len(d.events); d.settled++ {
		d.s = applyEvent(d.s, Record{At: d.now, Event: d.events[d.settled]})
	}
}

// opening is how a plain refusal begins.
const opening = "refusal.not-now"

func refuse(rule, id string, args ...any) *Refusal {
	return &Refusal{Rule: rule, Says: say.Speech{say.New(opening), say.New(id, args...)}}
}

// at is what a place is called.
func (d *draft) at(p Place) say.Station { return say.Station(d.s.PlaceName(p)) }

// station is what a place's station is called.
func (d *draft) station(p Place) say.Station { return say.Station(d.s.Site.Stations[p.Station].Name) }

// clock is a countdown to the nearest second.
func clock(d time.Duration) say.Clock { return say.Clock(d.Round(time.Second)) }

// Reason is a refusal without its opening, to stand in another sentence.
func (r *Refusal) Reason() say.Speech { return reason(r.Says) }

func reason(says say.Speech) say.Speech {
	if len(says) > 1 && says[0].ID == opening {
		return says[1:]
	}
	return says
}

func (Undo) decide(d *draft) *Refusal {
	what, ok := d.s.CanUndo()
	if !ok {
		return refuse(RuleNothing, "line.nothing-to-undo")
	}
	d.emit(Undone{Text: what.Keep(), Entry: d.s.undo[d.s.lastAction()].group, KeepsOn: true})
	return nil
}
