package line_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// wetLine is a line on which pea 1 has waited wet for as long as d after its wash
// was over.
func wetLine(t *testing.T, d time.Duration) (*line.State, time.Time) {
	t.Helper()
	s, now := linetest.Open(), linetest.Morning
	for _, c := range []line.Command{
		line.Start{Batch: 1, To: line.Anywhere}, line.Advance{Batch: 1, To: line.Anywhere},
	} {
		var no *line.Refusal
		if s, _, no = line.Do(s, c, now, "Ash"); no != nil {
			t.Fatal(no)
		}
	}
	due, _ := s.Batch(1).Step.DueAt()
	return s, due.Add(d)
}

func must(t *testing.T, s *line.State, c line.Command, now time.Time) *line.State {
	t.Helper()
	next, _, no := line.Do(s, c, now, "Ash")
	if no != nil {
		t.Fatalf("%T: %s", c, no.Error())
	}
	return next
}

// An alarm has one acknowledgement and comes back only when it becomes more
// pressing, as ISA-18.2 asks of alarms that must not chatter.
func TestAlarmIsAcknowledgedOnce(t *testing.T) {
	s, now := wetLine(t, 12*time.Minute) // of the 15 that the recipe allows
	alarms := line.Alarms(s, now)
	if len(alarms) != 1 || alarms[0].Priority != line.Soon {
		t.Fatalf("alarms %+v", alarms)
	}
	id := alarms[0].ID()
	if _, _, no := line.Do(s, line.ShelveAlarm{ID: id, Reason: "busy", For: time.Minute}, now, "Ash"); no == nil {
		t.Error("an alarm that nobody has taken note of was shelved")
	}
	s = must(t, s, line.RaiseAlarm{ID: id}, now)
	s = must(t, s, line.AckAlarms{}, now.Add(20*time.Second))
	if m := s.Mark(id); m.Acked.Sub(m.Raised) != 20*time.Second {
		t.Errorf("mark %+v", m)
	}
	if _, _, no := line.Do(s, line.AckAlarms{}, now.Add(30*time.Second), "Ash"); no == nil {
		t.Error("acknowledged twice")
	}
	later := now.Add(4 * time.Minute) // beyond the limit
	alarms = line.Alarms(s, later)
	if len(alarms) != 1 || alarms[0].Priority != line.Urgent || !s.Mark(alarms[0].ID()).Acked.IsZero() {
		t.Errorf("the alarm that became urgent is %+v, mark %+v", alarms, s.Mark(alarms[0].ID()))
	}
}

func TestShelvingNeedsAReasonAndEnds(t *testing.T) {
	s, now := wetLine(t, 12*time.Minute)
	id := line.Alarms(s, now)[0].ID()
	s = must(t, s, line.AckAlarms{}, now)
	for _, c := range []line.ShelveAlarm{{ID: id, For: time.Minute}, {ID: id, Reason: "busy", For: line.MaxShelf + 1}, {Reason: "busy", For: 1}} {
		if _, _, no := line.Do(s, c, now, "Ash"); no == nil {
			t.Errorf("%+v was accepted", c)
		}
	}
	s = must(t, s, line.ShelveAlarm{ID: id, Reason: "second spinner is coming", For: 2 * time.Minute}, now)
	if m := s.Mark(id); !m.Shelved.Equal(now.Add(2 * time.Minute)) {
		t.Errorf("mark %+v", m)
	}
}

func TestMarksOfPastAlarmsAreDropped(t *testing.T) {
	s, now := wetLine(t, 12*time.Minute)
	s = must(t, s, line.AckAlarms{}, now)
	s = must(t, s, line.Advance{Batch: 1, To: line.Anywhere}, now)
	due, _ := s.Batch(1).Step.DueAt()
	now = due.Add(2 * time.Minute)
	s = must(t, s, line.AckAlarms{}, now)
	if len(s.Marks) != 1 {
		t.Errorf("%d marks: %+v", len(s.Marks), s.Marks)
	}
}
