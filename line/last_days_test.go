package line_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// The last day of a weekday is the newest of an earlier date that fell on it, with what
// was added to it.
func TestLastOn(t *testing.T) {
	s := line.NewState(linetest.Site(), linetest.Book())
	now := linetest.Morning
	do := func(c line.Command) {
		t.Helper()
		next, _, no := line.Do(s, c, now, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s = next
	}
	open := func(trays int) {
		do(line.OpenDay{Sheet: line.Sheet{Date: now.Format(time.DateOnly), Start: now, Crops: []line.Demand{{Crop: "pea", Trays: trays}}}})
	}
	last := func() int {
		sheet, ok := s.LastOn(now)
		if !ok {
			return 0
		}
		return sheet.Trays()
	}
	for week, trays := range []int{1, 2, 3} {
		if got := last(); got != week {
			t.Errorf("week %d: %d trays the week before, want %d", week, got, week)
		}
		open(9)
		do(line.Undo{}) // opened by mistake
		open(trays)
		if got := last(); got != 0 {
			t.Errorf("week %d: the last day has %d trays while today is open", week, got)
		}
		for i := range s.Batches {
			do(line.Scrap{Batch: s.Batches[i].ID, Reason: "a test"})
		}
		do(line.CloseDay{})
		now = now.AddDate(0, 0, 1)
		if got := last(); got != 0 {
			t.Errorf("week %d: the day after goes as on another weekday, with %d trays", week, got)
		}
		now = now.AddDate(0, 0, 6)
	}
}
