package records_test

import (
	"runtime"
	"slices"
	"testing"

	"shedbell/line/linetest"
	"shedbell/line/records"
)

// BenchmarkTenYears folds 260 days a year for ten years, about 100,000 batches.
func BenchmarkTenYears(b *testing.B) {
	all := slices.Collect(linetest.Years(linetest.Morning, 2600))
	b.ReportMetric(float64(len(all)), "records")
	for b.Loop() {
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		book := linetest.ReadSlice(all, records.Filter{})
		runtime.GC()
		runtime.ReadMemStats(&after)
		b.ReportMetric(float64(after.HeapAlloc-before.HeapAlloc)/1e6, "MB-kept")
		b.ReportMetric(float64(len(book.Batches)), "batches")
		runtime.KeepAlive(book)
	}
}
