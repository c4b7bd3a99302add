package line

import (
	"slices"
	"strings"
	"time"
)

// RaiseAlarm says that people have been alerted to an alarm, for the records.
type RaiseAlarm struct{ ID AlarmID }

// AckAlarms says that a person has taken note of some alarms; of every one that nobody
// has noted where none is named.
type AckAlarms struct{ IDs []AlarmID }

// ShelveAlarm puts an acknowledged alarm out of sight for a while, with a reason.
type ShelveAlarm struct {
	ID     AlarmID
	Reason string
	For    time.Duration
}

// MaxShelf is the longest that an alarm can be shelved: it comes back by itself
// before greens are forgotten.
const MaxShelf = 30 * time.Minute

// AlarmRaised says that people were alerted.
type AlarmRaised struct{ ID AlarmID }

// AlarmsAcked says that a person took note.
type AlarmsAcked struct{ IDs []AlarmID }

// AlarmShelved says that an alarm was put out of sight.
type AlarmShelved struct {
	ID     AlarmID
	Reason string
	Until  time.Time
}

// RecallAfter is how long an alarm that was noted keeps still. One that is true for
// longer calls again, since who noted it was held up (ANSI/ISA-18.2 calls it
// re-alarming; the time is common practice, no source).
const RecallAfter = 5 * time.Minute

// AlarmMark is what people did about an alarm.
type AlarmMark struct {
	ID      AlarmID
	Raised  time.Time
	Acked   time.Time // last taken note of; zero while nobody has
	Shelved time.Time // out of sight until then; zero: in sight
}

// Noted says whether an alarm keeps still because somebody has taken note of it.
func (m *AlarmMark) Noted(now time.Time) bool {
	return !m.Acked.IsZero() && now.Sub(m.Acked) < RecallAfter
}

// Mark returns what people did about an alarm; the zero value when nothing yet.
func (s *State) Mark(id AlarmID) AlarmMark {
	for _, m := range s.Marks {
		if m.ID == id {
			return m
		}
	}
	return AlarmMark{}
}

func (c RaiseAlarm) decide(d *draft) *Refusal {
	if !d.alarmStands(c.ID) {
		return refuse(RuleNothing, "line.alarm-over")
	}
	if !d.s.Mark(c.ID).Raised.IsZero() {
		return refuse(RuleOrder, "line.alarm-raised")
	}
	d.emit(AlarmRaised(c))
	return nil
}

func (d *draft) alarmStands(id AlarmID) bool {
	return slices.ContainsFunc(Alarms(d.s, d.now), func(a Alarm) bool { return a.ID() == id })
}

func (c AckAlarms) decide(d *draft) *Refusal {
	var ids []AlarmID
	for _, a := range Alarms(d.s, d.now) {
		mark := d.s.Mark(a.ID())
		if len(c.IDs) > 0 && slices.Contains(c.IDs, a.ID()) || len(c.IDs) == 0 && !mark.Noted(d.now) {
			ids = append(ids, a.ID())
		}
	}
	if len(ids) == 0 {
		return refuse(RuleNothing, "line.no-alarm")
	}
	d.emit(AlarmsAcked{IDs: ids})
	return nil
}

func (c ShelveAlarm) decide(d *draft) *Refusal {
	switch {
	case !d.alarmStands(c.ID):
		return refuse(RuleNothing, "line.alarm-over")
	case d.s.Mark(c.ID).Acked.IsZero():
		return refuse(RuleOrder, "line.shelve-unseen")
	case strings.TrimSpace(c.Reason) == "":
		return refuse(RuleValue, "line.shelve-why")
	case c.For <= 0 || c.For > MaxShelf:
		return refuse(RuleValue, "line.shelve-longest", clock(MaxShelf))
	}
	d.emit(AlarmShelved{ID: c.ID, Reason: c.Reason, Until: d.now.Add(c.For)})
	return nil
}

// mark changes what is known about an alarm. Marks of alarms that are over are
// dropped, so that they do not pile up over a day.
func (s *State) mark(id AlarmID, at time.Time, change func(*AlarmMark)) {
	standing := Alarms(s, at)
	marks := make([]AlarmMark, 0, len(s.Marks)+1)
	found := false
	for _, m := range s.Marks {
		if m.ID == id {
			change(&m)
			found = true
		} else if !slices.ContainsFunc(standing, func(a Alarm) bool { return a.ID() == m.ID }) {
			continue
		}
		marks = append(marks, m)
	}
	if !found {
		m := AlarmMark{ID: id}
		change(&m)
		marks = append(marks, m)
	}
	s.Marks = marks
}

func (e AlarmRaised) apply(s *State, r Record) {
	s.mark(e.ID, r.At, func(m *AlarmMark) { m.Raised = r.At })
}

func (e AlarmsAcked) apply(s *State, r Record) {
	for _, id := range e.IDs {
		s.mark(id, r.At, func(m *AlarmMark) { m.Acked = r.At })
	}
}

func (e AlarmShelved) apply(s *State, r Record) {
	s.mark(e.ID, r.At, func(m *AlarmMark) { m.Shelved = e.Until })
}
