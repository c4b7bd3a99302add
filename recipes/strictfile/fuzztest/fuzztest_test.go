package fuzztest

import "testing"

// failing keeps whether it was failed.
type failing struct {
	testing.TB
	failed bool
}

func (f *failing) Helper()               {}
func (f *failing) Errorf(string, ...any) { f.failed = true }

var sink []byte

func TestBound(t *testing.T) {
	for _, tc := range []struct {
		pieces, bytes int
		want          bool
	}{{1, 1 << 10, false}, {1, Most / 2, false}, {1, Most + Most/8, true}, {100, Most / 50, true}} {
		f := &failing{}
		check := Bound(f)
		for range tc.pieces {
			sink = make([]byte, tc.bytes)
		}
		if check(); f.failed != tc.want {
			t.Errorf("%d times %d bytes: failed is %t", tc.pieces, tc.bytes, f.failed)
		}
	}
	sink = nil
}

func BenchmarkBound(b *testing.B) {
	for b.Loop() {
		Bound(b)()
	}
}
