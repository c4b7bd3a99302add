package journal

import (
	"slices"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/recipes"
)

func journalOf(b *testing.B, records []line.Record) *Journal {
	b.Helper()
	j := open(b, b.TempDir())
	for part := range slices.Chunk(records, 5000) {
		must(b, j.Append(ctx, part))
	}
	return j
}

// BenchmarkReplay100k reads 100,000 records, about 800 days of twelve batches,
// decodes and applies them.
func BenchmarkReplay100k(b *testing.B) {
	j := journalOf(b, tale(100_000))
	site := shedSite()
	b.ReportAllocs()
	for b.Loop() {
		s := line.NewState(&site, recipes.Book{})
		must(b, j.Replay(0, func(r line.Record) error {
			s = line.Apply(s, r)
			return nil
		}))
		if s.Seq != 100_000 {
			b.Fatal(s.Seq)
		}
	}
}

// BenchmarkReadOnly100k is the same without line.Apply.
func BenchmarkReadOnly100k(b *testing.B) {
	j := journalOf(b, tale(100_000))
	b.ReportAllocs()
	for b.Loop() {
		must(b, j.Replay(0, func(line.Record) error { return nil }))
	}
}

// BenchmarkAppend saves one command's records at a time and reports the median
// beside the mean: the disk has outliers.
func BenchmarkAppend(b *testing.B) {
	j := open(b, b.TempDir())
	var took []time.Duration
	seq := int64(0)
	for b.Loop() {
		seq++
		r := line.Record{Seq: seq, Group: seq, At: dawn, By: "first", Event: line.StepStarted{Batch: 1, Planned: time.Minute}}
		began := time.Now()
		must(b, j.Append(ctx, []line.Record{r}))
		took = append(took, time.Since(began))
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds()), "median-µs")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds()), "p99-µs")
}

// BenchmarkOpen100k is a start without the replay.
func BenchmarkOpen100k(b *testing.B) {
	j := journalOf(b, tale(100_000))
	must(b, j.Close())
	for b.Loop() {
		j, err := Open(j.Dir(), Options{})
		must(b, err)
		must(b, j.Close())
	}
}

// BenchmarkCheck100k reads everything with every check there is.
func BenchmarkCheck100k(b *testing.B) {
	j := journalOf(b, tale(100_000))
	for b.Loop() {
		report, err := Check(j.Dir())
		must(b, err)
		if !report.OK() {
			b.Fatal(report.Faults)
		}
	}
}

// BenchmarkSalvage100k finds all records of a file with a destroyed beginning.
func BenchmarkSalvage100k(b *testing.B) {
	j := journalOf(b, tale(100_000))
	must(b, j.Close())
	for b.Loop() {
		found, err := carve(j.path)
		must(b, err)
		if len(found) != 100_000 {
			b.Fatal(len(found))
		}
	}
}

func BenchmarkBeat(b *testing.B) {
	j := open(b, b.TempDir())
	for b.Loop() {
		must(b, j.Beat(dawn))
	}
}
