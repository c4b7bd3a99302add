package records_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
)

// The measures are those of EEMUA 191 and ISA-18.2, from memory: annunciated alarms
// an hour and in the worst ten minutes. Counted here by hand.
func TestAlarmFigures(t *testing.T) {
	var all []line.Record
	s := line.NewState(&line.Site{}, linetest.Book())
	at := func(min, sec int, e line.Event) {
		now := linetest.Morning.Add(time.Duration(min)*time.Minute + time.Duration(sec)*time.Second)
		rs := line.Decision{Events: []line.Event{e}}.Records(s, now, "Ash")
		s = line.Apply(s, rs[0])
		all = append(all, rs...)
	}
	id := func(p line.Priority, batch int) line.AlarmID {
		return line.AlarmID{Kind: line.AlarmOverdue, Priority: p, Batch: batch, Place: line.Place{Station: linetest.Tub}, Circuit: 0}
	}
	at(0, 0, line.FirstRecord(linetest.Site(), linetest.Book()))
	at(0, 0, line.DayOpened{Sheet: linetest.Sheet(), Batches: []line.NewBatch{{ID: 1, Crop: "pea", No: 1, Trays: 3}}})
	at(10, 0, line.AlarmRaised{ID: id(line.Soon, 1)})
	at(10, 40, line.AlarmsAcked{IDs: []line.AlarmID{id(line.Soon, 1)}}) // in time
	at(12, 0, line.AlarmRaised{ID: id(line.Urgent, 1)})
	at(12, 50, line.StepFinished{Batch: 1}) // seen to in time, never acknowledged
	at(19, 59, line.AlarmRaised{ID: id(line.Soon, 2)})
	at(20, 0, line.AlarmRaised{ID: line.AlarmID{Kind: line.AlarmTripped, Priority: line.Urgent, Place: line.Nowhere}})
	at(23, 0, line.AlarmsAcked{IDs: []line.AlarmID{id(line.Soon, 2)}}) // late
	at(23, 1, line.AlarmShelved{ID: id(line.Soon, 2), Reason: "at the door"})
	at(25, 0, line.BreakerReset{Circuit: 0}) // after five minutes
	at(120, 0, line.DayClosed{})
	b := linetest.ReadSlice(all, records.Filter{})
	// 10:00, 12:00 and 19:59 are within ten minutes; 20:00 is ten after the first.
	want := records.Alarms{Raised: 4, Urgent: 2, Acked: 1, Answered: 2, Shelved: 1, Peak: 3, Longest: 5 * time.Minute}
	if got := b.Days[0].Alarms; got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	if got := b.Days[0].AlarmsAnHour(); got != 2 {
		t.Errorf("%g an hour, want 4 in 2 hours", got)
	}
}

// An alarm that the live line raised and a person answered comes out of its records.
func TestAlarmsOfTheLine(t *testing.T) {
	s := linetest.Open()
	var all []line.Record
	do := func(after time.Duration, c line.Command) {
		t.Helper()
		next, rs, no := line.Do(s, c, s.At.Add(after), "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s, all = next, append(all, rs...)
	}
	first := line.Decision{Events: []line.Event{line.FirstRecord(linetest.Site(), linetest.Book())}}
	all = first.Records(&line.State{}, linetest.Morning, "Ash")
	s = line.Apply(line.NewState(&line.Site{}, linetest.Book()), all[0])
	do(0, line.OpenDay{Sheet: linetest.Sheet()})
	do(0, line.Start{Batch: 1, To: line.Anywhere})
	do(10*time.Minute, line.Advance{Batch: 1, To: line.Anywhere})
	alarms := line.Alarms(s, s.At.Add(5*time.Minute)) // the countdown is over for 1:30
	if len(alarms) != 1 {
		t.Fatalf("%+v", alarms)
	}
	do(5*time.Minute, line.RaiseAlarm{ID: alarms[0].ID()})
	do(30*time.Second, line.AckAlarms{})
	do(10*time.Second, line.Advance{Batch: 1, To: line.Anywhere})
	do(0, line.Undo{})
	b := linetest.ReadSlice(all, records.Filter{})
	if got := b.Days[0].Alarms; got.Raised != 1 || got.Acked != 1 || got.Answered != 1 || got.Longest != 30*time.Second {
		t.Errorf("%+v", got)
	}
}

func TestSignOffsInTheRecords(t *testing.T) {
	s := linetest.Open()
	var all []line.Record
	do := func(c line.Command) {
		t.Helper()
		next, rs, no := line.Do(s, c, s.At.Add(24*time.Hour), "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s, all = next, append(all, rs...)
	}
	do(line.SignOff{Person: "Rowan", Station: line.Spin, SignedBy: "Ash"}) // 4 December
	do(line.SignOff{Person: "Elm", Station: line.Cut, SignedBy: "Ash"})
	do(line.Undo{})
	do(line.RevokeSignOff{Person: "Rowan", Station: line.Spin, SignedBy: "Ash", Why: "a finger in the drum"}) // 7
	do(line.SignOff{Person: "Rowan", Station: line.Spin, SignedBy: "Ash"})                                    // 8
	do(line.SignOff{Person: "Rowan", Station: line.Cut, SignedBy: "Ash"})
	all[0].Undo = "" // as in a long journal, where it cannot be taken back any more
	for _, c := range []struct {
		filter records.Filter
		want   int
	}{{records.Filter{}, 3}, {records.Filter{From: "2026-12-08"}, 2}, {records.Filter{To: "2026-12-04"}, 1}, {records.Filter{To: "2026-12-03"}, 0}} {
		got := linetest.ReadSlice(all, c.filter).Signed()
		if len(got) != c.want {
			t.Errorf("%+v: %+v", c.filter, got)
		}
	}
	got := linetest.ReadSlice(all, records.Filter{}).Signed()
	if got[0].Station != line.Cut || got[1].Stands() || got[1].Why != "a finger in the drum" || got[1].RevokedBy != "Ash" || !got[2].Stands() {
		t.Errorf("%+v", got)
	}
}
