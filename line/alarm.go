package line

import (
	"cmp"
	"slices"
	"time"

	"shedbell/power/enum"
)

// AlarmKind is what an alarm is about.
type AlarmKind uint8

// What can need a person although nobody asked.
const (
	AlarmTripped     AlarmKind = iota // a breaker is open
	AlarmInterrupted                  // nobody watched a step; somebody has to say what became of it
	AlarmWet                          // greens wait wet, near or beyond what their recipe allows
	AlarmOverdue                      // a countdown is over and nobody has confirmed the machine off
	AlarmLong                         // work by hand goes on for so long that somebody may have forgotten to end it
	AlarmNoPower                      // the power is away
	AlarmOverload                     // a breaker carries more than it may
	AlarmLate                         // what a customer waits for will most likely be late
	AlarmFoundOn                      // a meter found a machine on whose start nobody has entered
)

var alarmNames = []string{"tripped", "interrupted", "wet", "overdue", "long", "no-power", "overload", "late", "found-on"}

// String is the kind's name in records.
func (k AlarmKind) String() string {
	if int(k) < len(alarmNames) {
		return alarmNames[k]
	}
	return "unknown"
}

// MarshalText is the name by which records keep it.
func (k AlarmKind) MarshalText() ([]byte, error) { return enum.Text(k, alarmNames) }

// UnmarshalJSON reads the name, or the number of earlier records.
func (k *AlarmKind) UnmarshalJSON(data []byte) error { return enum.Read(k, data, alarmNames) }

// Priority is how soon an alarm needs a person; a smaller number is sooner.
type Priority uint8

// Priorities of alarms.
const (
	Urgent Priority = iota + 1 // greens spoil or the line stands: now
	Soon                       // within minutes
	Note                       // good to know
)

var priorityNames = []string{"", "urgent", "soon", "note"}

// MarshalText is the name by which records keep it.
func (p Priority) MarshalText() ([]byte, error) { return enum.Text(p, priorityNames) }

// UnmarshalJSON reads the name, or the number of earlier records.
func (p *Priority) UnmarshalJSON(data []byte) error { return enum.Read(p, data, priorityNames) }

// When alarms change their priority.
const (
	overdueSoon = time.Minute      // a machine not confirmed off for that long
	nearlyWet   = 0.75             // share of the wet wait that a recipe allows
	longTimes   = 3                // as long as work by hand usually takes
	foundGrace  = 10 * time.Second // a person who has switched a machine on enters it
)

// Alarm is something that needs a person. It is derived from the state, so it goes
// when its reason goes, and there is at most one for each place and each circuit:
// the most pressing.
type Alarm struct {
	Kind     AlarmKind
	Priority Priority
	Place    Place     // Nowhere where a breaker is concerned
	Batch    int       // 0 where no greens are concerned
	Chore    int       // ID of the chore, 0 for greens and circuits
	Circuit  int       // of the breaker or of the machine; -1 where none is, or all are
	Feeder   string    // whose breaker it is instead
	Load     int       // the machine not confirmed off, or found on, or NoLoad
	Since    time.Time // when its reason began: trip, last watched instant, start of the wet wait, end of the countdown
	Until    time.Time // AlarmWet and wet greens overdue: when their allowed wait is over; else zero
}

// AlarmID tells alarms apart while they last, so that an acknowledgement holds for
// one and not for the next. An alarm that becomes more pressing is another one.
type AlarmID struct {
	Kind     AlarmKind
	Priority Priority
	Place    Place
	Batch    int
	Chore    int
	Circuit  int
	Feeder   string `json:",omitempty"`
	Since    int64  // Unix seconds
}

// ID is the alarm's identity.
func (a *Alarm) ID() AlarmID {
	return AlarmID{Kind: a.Kind, Priority: a.Priority, Place: a.Place, Batch: a.Batch, Chore: a.Chore,
		Circuit: a.Circuit, Feeder: a.Feeder, Since: a.Since.Unix()}
}

// Alarms lists what needs a person at the instant now, the most pressing first and
// the oldest first among those. The order is the same for the same state.
func Alarms(s *State, now time.Time) []Alarm {
	out := s.powerAlarms(now)
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Fate != OnLine {
			continue
		}
		if a, ok := s.stepAlarm(&b.Step, b, now); ok {
			a.Batch = b.ID
			out = append(out, a)
		}
	}
	for i := range s.Chores {
		if a, ok := s.stepAlarm(&s.Chores[i].Step, nil, now); ok {
			a.Chore = s.Chores[i].ID
			out = append(out, a)
		}
	}
	out = append(out, s.lateAlarms()...)
	slices.SortFunc(out, func(x, y Alarm) int {
		return cmp.Or(cmp.Compare(x.Priority, y.Priority), x.Since.Compare(y.Since), cmp.Compare(x.Kind, y.Kind),
			cmp.Compare(x.Place.Station, y.Place.Station), cmp.Compare(x.Place.Slot, y.Place.Slot), cmp.Compare(x.Circuit, y.Circuit))
	})
	return out
}

// powerAlarms are those of the breakers. A shed without any power has one.
func (s *State) powerAlarms(now time.Time) []Alarm {
	var out []Alarm
	dark := 0
	for c, since := range s.Tripped {
		if since.IsZero() {
			continue
		}
		a := Alarm{Kind: AlarmTripped, Priority: Urgent, Place: Nowhere, Circuit: c, Load: NoLoad, Since: since}
		if s.Power.Dark(c) {
			a.Kind = AlarmNoPower
			dark++
		}
		out = append(out, a)
	}
	if n := len(s.Site.Panel.Circuits); n > 1 && dark == n {
		slices.SortFunc(out, func(x, y Alarm) int { return x.Since.Compare(y.Since) })
		out = out[:1]
		out[0].Circuit = -1
	}
	for _, o := range s.Site.Panel.Overloads(s.Power, now) {
		a := Alarm{Kind: AlarmOverload, Priority: Urgent, Place: Nowhere, Circuit: o.Circuit, Load: NoLoad, Since: o.Since}
		if o.Feeder >= 0 {
			a.Feeder = s.Site.Panel.Feeders[o.Feeder].Name
		}
		out = append(out, a)
	}
	for i := range s.Power.Loads {
		if st := &s.Power.Loads[i]; st.Metered && s.Power.Drawing(&s.Site.Panel, i, now) && !now.Before(st.Since.Add(foundGrace)) {
			out = append(out, Alarm{Kind: AlarmFoundOn, Priority: Soon, Place: Nowhere, Circuit: s.Site.Panel.Loads[i].Circuit, Load: i, Since: st.Since})
		}
	}
	return out
}

// stepAlarm is the one alarm of a step; b is nil for chores.
func (s *State) stepAlarm(step *Step, b *Batch, now time.Time) (Alarm, bool) {
	a := Alarm{Place: step.Place, Circuit: -1, Load: NoLoad}
	wet, wetPriority := false, Note
	if b != nil {
		wetPriority, wet = s.wetAlarm(b, now, &a)
	}
	if step.Load != NoLoad && (step.Progress == Running || step.Progress == Interrupted) {
		a.Load, a.Circuit = step.Load, s.Site.Panel.Loads[step.Load].Circuit
	}
	switch {
	case step.Progress == Interrupted:
		a.Kind, a.Priority, a.Since = AlarmInterrupted, Urgent, step.Stopped
	case step.Due(now):
		a.Kind, a.Priority = AlarmOverdue, Note
		a.Since, _ = step.DueAt()
		if a.Load != NoLoad && !now.Before(a.Since.Add(overdueSoon)) {
			a.Priority = Soon
		}
		if wet {
			a.Priority = min(a.Priority, wetPriority)
		}
	case wet:
		a.Kind, a.Priority, a.Since = AlarmWet, wetPriority, s.wetSince(b)
	default:
		usual := s.usual(step, now)
		over := step.Ran(now) - longTimes*usual
		if usual == 0 || over < 0 {
			return Alarm{}, false
		}
		a.Kind, a.Priority, a.Since = AlarmLong, Soon, now.Add(-over)
	}
	return a, true
}

// usual is how long the work by hand at a place usually takes; 0 where none goes on.
func (s *State) usual(step *Step, now time.Time) time.Duration {
	if step.Progress != Running || step.Place.Station < 0 {
		return 0
	}
	if left, ok := (Advice{}).HandLeft(s, step.Place, now); ok {
		return left + step.Ran(now)
	}
	return 0
}

// Hasty says that work by hand is so much shorter than usual that its end is more
// likely a slip than the truth.
func (s *State) Hasty(at Place, now time.Time) bool {
	step := s.StepAt(at)
	return step != nil && step.Ran(now)*hastyShare < s.usual(step, now)
}

// hastyShare is the part of the usual time that work by hand takes at least.
const hastyShare = 4

// wetAlarm says whether a batch's greens are near or beyond their allowed wet wait.
func (s *State) wetAlarm(b *Batch, now time.Time, a *Alarm) (Priority, bool) {
	since, limit := s.wetSince(b), s.WetLimit(b)
	if since.IsZero() || limit <= 0 || now.Before(since) {
		return Note, false
	}
	a.Until = since.Add(limit)
	switch wait := now.Sub(since); {
	case wait > limit:
		return Urgent, true
	case wait >= time.Duration(nearlyWet*float64(limit)):
		return Soon, true
	}
	return Note, false
}
