package e2e

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/live"
)

// TestAClockBehindTheJournal starts the program where the computer's clock stands
// days before the last record, as one without a battery does, only that the journal
// is ahead here instead of the clock behind.
func TestAClockBehindTheJournal(t *testing.T) {
	dir := written(t, -72*time.Hour, drying(t))
	x := start(t, 120, 40, "--data", dir)
	x.expect("what was running", "PEA 1, rack a", "ran at least 20:0", "of 1:01:00")
	x.press("Enter")
	x.expect("PEA 1", "resumed", "take PEA 1 off rack a", "in 4")
	x.quit()
	var last time.Time
	for _, r := range records(t, dir) {
		if r.At.Before(last) {
			t.Errorf("record %d is from %s, the one before it from %s", r.Seq, r.At, last)
		}
		last = r.At
	}
	if jumps := eventsOf[line.ClockJumped](records(t, dir)); len(jumps) != 1 || jumps[0].By > -71*time.Hour {
		t.Errorf("recorded of the clock: %+v", jumps)
	}
}

// TestAClockInAnotherZone moves the computer to another zone between two starts: the
// countdown goes on as it was, and it is said.
func TestAClockInAnotherZone(t *testing.T) {
	t.Setenv("TZ", "UTC")
	dir := written(t, time.Second, func(l *live.Line, clock *linetest.Manual) {
		drying(t)(l, clock)
	})
	t.Setenv("TZ", "America/New_York")
	x := start(t, 120, 40, "--data", dir)
	x.expect("The computer's time zone has changed from UTC+00:00 to UTC-0", "Countdowns go on as they were", "take PEA 1 off rack a")
	x.quit()
}

// TestSecondStartAfterAPowerCut: a lock file that names a program of before a power cut, whose
// number another one has now, stops nobody.
func TestSecondStartAfterAPowerCut(t *testing.T) {
	dir := written(t, time.Second, drying(t))
	holder, err := json.Marshal(map[string]any{"pid": os.Getpid(), "host": "shed", "since": time.Now().Add(-time.Hour)})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "shedbell.lock"), append([]byte(" "), holder...), 0o600); err != nil {
		t.Fatal(err)
	}
	x := start(t, 100, 30, "--data", dir)
	x.expect("Cut PEA 2")
	x.press("Enter")
	x.expect("PEA 2 started at the cutting table")
	x.quit()
}
