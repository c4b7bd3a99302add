package uitest_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/recipes"
	"shedbell/ui/uitest"
)

// Keys that the starter day may take, and one batch of it from the cutting table to the
// fridge.
const (
	mostKeys   = 94
	mostABatch = 12
)

// TestAWholeDayOnTheNumberPad works the starter day to its end with Enter alone, pressed
// when the board asks for something.
func TestAWholeDayOnTheNumberPad(t *testing.T) {
	book, start := recipes.Starters(), time.Date(2026, 12, 3, 7, 30, 0, 0, time.UTC)
	d := uitest.New(t, uitest.Options{Site: files.Starter(), Book: &book, Sheet: files.StarterDay(start), Start: start})
	keys, ofBatch := enterOnly(t, d)
	d.Expect("the day is closed")
	delete(ofBatch, 0) // trays, surfaces, the day's end
	for id, n := range ofBatch {
		if n > mostABatch {
			t.Errorf("batch %d took %d keys, more than %d", id, n, mostABatch)
		}
	}
	if len(ofBatch) != 7 || keys > mostKeys {
		t.Errorf("%d batches and %d keys, want 7 and at most %d", len(ofBatch), keys, mostKeys)
	}
	t.Logf("%d keys in all, by batch %v, over at %s", keys, ofBatch, d.Clock.Now().Format(time.TimeOnly))
}

// TestAPracticeDayToItsEnd does the same on the practice day, whose cautions have to be
// read, and comes to its verdict.
func TestAPracticeDayToItsEnd(t *testing.T) {
	book, start := recipes.Starters(), time.Date(2026, 12, 3, 7, 30, 0, 0, time.UTC)
	d := uitest.New(t, uitest.Options{Site: files.Starter(), Book: &book, Sheet: files.PracticeDay(start), Start: start, Practice: true})
	enterOnly(t, d)
	d.Expect("The practice day is over", "0 back")
	d.Press("0")
	d.Expect("No day is open")
}

// enterOnly works an open day to its end, and counts the keys, also by batch; 0 is none.
func enterOnly(t *testing.T, d *uitest.Driver) (keys int, ofBatch map[int]int) {
	t.Helper()
	ofBatch = map[int]int{}
	for start := d.Clock.Now(); d.State().Sheet != nil; {
		now := d.Clock.Now()
		if now.Sub(start) > 8*time.Hour {
			t.Fatalf("the day does not end:\n%s", d.Screen())
		}
		lanes := line.Advice{}.Lanes(d.State(), now)
		i := line.UrgentLane(lanes, now)
		asks := strings.Contains(d.Screen(), "Enter takes ") || strings.Contains(d.Screen(), "CAUTION")
		if !asks && (i < 0 || !lanes[i].Now.Ready(now) || lanes[i].Now.CutsShort(d.State(), now) > 0) {
			d.Pass(5 * time.Second)
			continue
		}
		if i >= 0 {
			ofBatch[lanes[i].Now.Batch]++
		}
		d.Press("enter")
		keys++
	}
	return keys, ofBatch
}
