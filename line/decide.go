package line

import (
	"strings"
	"time"

	"shedbell/power"
)

// Decision is Decide's yes: the events that the command causes, and what undoing
// it would take back (empty when it cannot be undone).
type Decision struct {
	Events []Event
	Undo   string
}

// Records gives the decision's events their place in the journal after state s.
func (d Decision) Records(s *State, now time.Time, by string) []Record {
	now = notBefore(now, s.At)
	out := make([]Record, len(d.Events))
	for i, e := range d.Events {
		out[i] = Record{Seq: s.Seq + int64(i) + 1, Group: s.Seq + 1, At: now, By: by, Event: e}
	}
	if len(out) > 0 {
		out[0].Undo = d.Undo
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
	no := d.decide(c)
	if no != nil {
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
	undo    string
}

func (d *draft) emit(e Event) { d.events = append(d.events, e) }

func (d *draft) settle() {
	for ; d.settled < len(d.events); d.settled++ {
		d.s = applyEvent(d.s, Record{At: d.now, Event: d.events[d.settled]})
	}
}

func refuse(rule, format string, args ...any) *Refusal {
	return &Refusal{Rule: rule, Says: power.Speech{power.Say("Not now:"), power.Say(format, args...)}}
}

func (d *draft) decide(c Command) *Refusal {
	switch c := c.(type) {
	case Load:
		return d.load(c)
	case Start:
		return d.start(c)
	case Advance:
		return d.advance(c)
	case Finish:
		return d.finish(c)
	case Adjust:
		return d.adjust(c)
	case Hold:
		return d.hold(c)
	case Resume:
		return d.resume(c.At, false)
	case Restart:
		return d.resume(c.At, true)
	case StartChore:
		return d.startChore(c)
	case SwitchOn:
		return d.switchOn(c)
	case SwitchOff:
		return d.switchOff(c)
	case Split:
		return d.split(c)
	case Merge:
		return d.merge(c)
	case Scrap:
		return d.scrap(c)
	case Undo:
		return d.takeBack()
	}
	return d.decideDay(c)
}

// decideDay answers the commands about the day, the crew, the wiring and the
// journal itself.
func (d *draft) decideDay(c Command) *Refusal {
	switch c := c.(type) {
	case OpenDay:
		return d.openDay(c)
	case AddTrays:
		return d.addTrays(c)
	case CloseDay:
		return d.closeDay(c)
	case LayLine:
		return d.layLine(c)
	case Revise:
		return d.revise(c)
	case GoBack:
		return d.goBack(c)
	case ImportRecipes:
		return d.importRecipes(c)
	case TasteBatch:
		return d.taste(c)
	case ReadAir:
		return d.readAir(c)
	case UseAir:
		return d.useAir(c)
	case SetCrew:
		return d.setCrew(c)
	case MarkTripped:
		return d.tripped(c)
	case ResetBreaker:
		return d.resetBreaker(c)
	case MarkBroken:
		return d.markBroken(c)
	case MarkMended:
		return d.markMended(c)
	case RaiseAlarm:
		return d.raiseAlarm(c)
	case AckAlarms:
		return d.ackAlarms()
	case ShelveAlarm:
		return d.shelveAlarm(c)
	case AddNote:
		if strings.TrimSpace(c.Text) == "" {
			return refuse(RuleValue, "the note is empty.")
		}
		d.emit(NoteAdded(c))
		return nil
	case MakeEntry:
		return d.makeEntry(c)
	case Recover:
		// The last record's instant was watched, and nothing after now has been.
		beat := notBefore(c.LastBeat, d.s.At)
		if beat.After(d.now) {
			beat = d.now
		}
		d.emit(WatchLost{LastBeat: beat})
		return nil
	case NoteClock:
		d.emit(ClockJumped(c))
		return nil
	case FollowClock:
		if !d.s.Idle() {
			return refuse(RuleOrder, "countdowns run, and the line's time is not moved under them.")
		}
		d.emit(ClockFollowed(c))
		return nil
	}
	return d.decideRecords(c)
}

// decideRecords answers the commands that only write down what has been.
func (d *draft) decideRecords(c Command) *Refusal {
	switch c := c.(type) {
	case ReportTrouble:
		return d.reportTrouble(c)
	case MendTrouble:
		return d.mendTrouble(c)
	case Sell:
		return d.sell(c)
	case TakeOrder:
		return d.takeOrder(c)
	case CancelOrder:
		return d.cancelOrder(c)
	case UseSeed:
		return d.useSeed(c)
	case AddMark:
		return d.addMark(c)
	case HandOn:
		return d.handOn(c)
	case SignOff:
		return d.signOff(c)
	case RevokeSignOff:
		return d.revokeSignOff(c)
	}
	return refuse(RuleUnknown, "the line does not know the command %T.", c)
}

func (d *draft) takeBack() *Refusal {
	text, ok := d.s.CanUndo()
	if !ok {
		return refuse(RuleNothing, "there is nothing to undo.")
	}
	d.emit(Undone{Text: text})
	return nil
}
