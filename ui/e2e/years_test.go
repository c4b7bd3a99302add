package e2e

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/linetest"
)

// tenYears fills a data folder with the journal of 260 working days a year, more than
// a million records, the last of them before today.
func tenYears(b *testing.B) (dir string, records int64) {
	b.Helper()
	dir = b.TempDir()
	j, err := journal.Open(dir, journal.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer j.Close()
	var chunk []line.Record
	put := func() {
		if err := j.Append(b.Context(), chunk); err != nil {
			b.Fatal(err)
		}
		chunk = chunk[:0]
	}
	for r := range linetest.Years(linetest.Morning.AddDate(-12, 0, 0), 10*260) {
		records = r.Seq
		if chunk = append(chunk, r); len(chunk) == 20_000 {
			put()
		}
	}
	put()
	return dir, records
}

// BenchmarkStartAfterTenYears starts the program on a journal of 2,600 working days,
// until its board is there. The first start has no snapshot and reads everything; later
// ones read the last day.
func BenchmarkStartAfterTenYears(b *testing.B) {
	if _, err := binary(); err != nil { // before anything is timed
		b.Fatal(err)
	}
	dir, records := tenYears(b)
	toBoard := func(words ...string) time.Duration {
		began := time.Now()
		x := start(b, 100, 30, "--data", dir)
		x.expect(words...)
		x.expectWithin(10*time.Minute, "No day is open")
		took := time.Since(began)
		x.quit()
		return took
	}
	first := toBoard("Reading the whole journal")
	var total time.Duration
	n := 0
	for b.Loop() {
		total += toBoard()
		n++
	}
	b.ReportMetric(float64(total.Milliseconds())/float64(n), "ms-to-board")
	b.ReportMetric(float64(first.Milliseconds()), "ms-without-snapshot")
	b.ReportMetric(float64(records), "records")
	b.ReportMetric(0, "ns/op")
}
