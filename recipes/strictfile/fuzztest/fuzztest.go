// Package fuzztest bounds what one input of a fuzz target may cost. It stands this
// low because the targets of every room use it.
package fuzztest

import (
	"runtime/metrics"
	"testing"
)

// Most is how many bytes one input may allocate.
const Most = 64 << 20

const allocated = "/gc/heap/allocs:bytes"

// Bound begins to count what is allocated. The function that it returns fails the
// test when that was more than Most, also if all of it was free again by then.
func Bound(t testing.TB) func() {
	before := read()
	return func() {
		t.Helper()
		if spent := read() - before; spent > Most {
			t.Errorf("one input allocated %d MB; %d are allowed", spent>>20, Most>>20)
		}
	}
}

func read() uint64 {
	sample := [1]metrics.Sample{{Name: allocated}}
	metrics.Read(sample[:])
	return sample[0].Value.Uint64()
}
