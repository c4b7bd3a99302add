package linetest

import (
	"iter"
	"slices"

	"shedbell/line"
	"shedbell/line/records"
)

// Read folds records in their order.
func Read(all iter.Seq[line.Record], f records.Filter) *records.Book {
	r := records.NewReader(f)
	for rec := range all {
		r.Add(rec)
	}
	return r.Book()
}

// ReadSlice folds records that are at hand, such as those of a rehearsal.
func ReadSlice(all []line.Record, f records.Filter) *records.Book {
	return Read(slices.Values(all), f)
}
