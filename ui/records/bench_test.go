package recordsui_test

import (
	"context"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/linetest"
	"shedbell/ui/act"
	"shedbell/ui/screen"
)

// BenchmarkTenYears reads a journal of 2,600 days in the background, as the records
// screen does when it is opened. Beside it goes what the board does ten times a second;
// late is by how much that was ever too late.
func BenchmarkTenYears(b *testing.B) {
	j, err := journal.Open(b.TempDir(), journal.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer j.Close()
	s := line.NewState(linetest.Site(), linetest.Book())
	var part []line.Record
	put := func() {
		if err := j.Append(context.Background(), part); err != nil {
			b.Fatal(err)
		}
		part = part[:0]
	}
	for r := range linetest.Years(linetest.Morning.AddDate(-12, 0, 0), 10*260) {
		s.Seq = r.Seq
		if part = append(part, r); len(part) == 20_000 {
			put()
		}
	}
	put()
	late := time.Duration(0)
	for b.Loop() {
		job := screen.JournalReader{}
		read := job.Start(&screen.Env{Context: act.Context{State: s}, Past: func(_ context.Context, fn func(line.Record) error) error { return j.Replay(1, fn) }})
		done := make(chan struct{})
		go func() {
			read()
			close(done)
		}()
		const beat = 100 * time.Millisecond
		for ticks, over := time.NewTicker(beat), false; !over; {
			select {
			case at := <-ticks.C:
				late = max(late, time.Since(at))
			case <-done:
				over = true
			}
		}
		if _, _, err := job.Progress(); err != nil || len(job.All().Batches) < 100_000 {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(late.Microseconds())/1000, "ms-late")
}
