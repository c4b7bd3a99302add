package start

import (
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/live"
	"shedbell/ui/command"
)

// keptCopies is how many daily copies of the journal are kept.
const keptCopies = 14

// A copy is made soon after the start, when the board is up, and then whenever a
// new day has begun.
const (
	firstCopyAfter = 2 * time.Second
	copyEvery      = time.Hour
)

// tend does what a line on a real journal needs beside its screens: it watches the
// computer's clocks and keeps daily copies. It ends with the line.
func tend(o command.BoardOptions, store *journal.Journal, l *live.Line) {
	if o.Demo {
		return // runs on a clock of its own, in a folder that is thrown away
	}
	l.WatchClock(live.ReadClocks)
	go keepCopies(store, l)
}

func keepCopies(store *journal.Journal, l *live.Line) {
	failed := ""
	next := time.NewTimer(firstCopyAfter)
	defer next.Stop()
	for {
		select {
		case <-l.Closing():
			return
		case <-next.C:
		}
		now := l.Now()
		if _, err := store.DailyBackup(now, keptCopies); err != nil && failed != now.Format(time.DateOnly) {
			failed = now.Format(time.DateOnly)
			l.Do(line.AddNote{Text: "The daily copy of the journal was not made: " + err.Error()})
		}
		next.Reset(copyEvery)
	}
}
