package report_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
	"shedbell/line/records/report"
)

// alarmed is a day of an hour with two alarms, one of them acknowledged in time.
func alarmed() *records.Book {
	var all []line.Record
	s := line.NewState(&line.Site{}, linetest.Book())
	at := func(after time.Duration, e line.Event) {
		rs := line.Decision{Events: []line.Event{e}}.Records(s, linetest.Morning.Add(after), "Ash")
		s, all = line.Apply(s, rs[0]), append(all, rs[0])
	}
	id := line.AlarmID{Kind: line.AlarmTripped, Priority: line.Urgent, Place: line.Nowhere}
	soon := line.AlarmID{Kind: line.AlarmOverdue, Priority: line.Soon, Batch: 1}
	at(0, line.FirstRecord(linetest.Site(), linetest.Book()))
	at(0, line.DayOpened{Sheet: linetest.Sheet(), Batches: []line.NewBatch{{ID: 1, Crop: "pea", No: 1, Trays: 3}}})
	at(10*time.Minute, line.AlarmRaised{ID: id})
	at(10*time.Minute+30*time.Second, line.AlarmsAcked{IDs: []line.AlarmID{id}})
	at(40*time.Minute, line.AlarmRaised{ID: soon})
	at(50*time.Minute, line.AlarmsAcked{IDs: []line.AlarmID{soon}})
	at(55*time.Minute, line.SignedOff{Person: "Rowan", Station: line.Spin, SignedBy: "Ash"})
	at(time.Hour, line.DayClosed{})
	return linetest.ReadSlice(all, records.Filter{})
}

func written(t *testing.T, d *report.Doc) string {
	t.Helper()
	var b strings.Builder
	if err := report.Plain(&b, d); err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func TestTheDayTellsItsAlarms(t *testing.T) {
	b := alarmed()
	d, ok := report.Day(b, b.Days[0].Date)
	if !ok {
		t.Fatal("no day")
	}
	want := "Alarms: 2, 1 urgent; 2.0 an hour (EEMUA 191: 6 are acceptable), at most 1 in ten minutes; 50 % noted, 50 % noted or dealt with within a minute."
	if got := written(t, d); !strings.Contains(got, want) {
		t.Errorf("%s", got)
	}
	if got := written(t, report.Alarms(b)); !strings.Contains(got, "2026-12-03 2 1 2.0 1 50 50 10.0 0") {
		t.Errorf("%s", got)
	}
}

func TestTheSignOffsOnPaper(t *testing.T) {
	if got := written(t, report.SignOffs(alarmed())); !strings.Contains(got, "Rowan spin 2026-12-03 08:25 +00:00 Ash") {
		t.Errorf("%s", got)
	}
}
