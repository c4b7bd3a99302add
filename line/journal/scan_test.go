package journal

import (
	"context"
	"errors"
	"reflect"
	"slices"
	"testing"

	"shedbell/line"
)

// collect reads with Replay or Scan.
func collect(t *testing.T, read func(fn func(line.Record) error) error) []line.Record {
	t.Helper()
	var out []line.Record
	must(t, read(func(r line.Record) error {
		out = append(out, r)
		return nil
	}))
	return out
}

func TestScanReadsAsReplay(t *testing.T) {
	all := tale(3*scanPart + 17)
	j := open(t, t.TempDir())
	for part := range slices.Chunk(all, 5000) {
		must(t, j.Append(ctx, part))
	}
	for _, from := range []int64{0, 1, 2, scanPart, scanPart + 1, int64(len(all)), int64(len(all)) + 1} {
		want := collect(t, func(fn func(line.Record) error) error { return j.Replay(from, fn) })
		got := collect(t, func(fn func(line.Record) error) error { return j.Scan(context.Background(), from, 0, fn) })
		if !reflect.DeepEqual(got, want) {
			t.Errorf("from %d: Scan gave %d records, Replay %d", from, len(got), len(want))
		}
	}
	got := collect(t, func(fn func(line.Record) error) error { return j.Scan(context.Background(), 5, 9, fn) })
	if len(got) != 5 || got[0].Seq != 5 || got[4].Seq != 9 {
		t.Errorf("5 to 9 gave %d records", len(got))
	}
	n := 0
	must(t, j.Scan(context.Background(), 0, 0, func(line.Record) error {
		n++
		return ErrStop
	}))
	if n != 1 {
		t.Errorf("it went on for %d records", n)
	}
	gone, stop := context.WithCancel(context.Background())
	stop()
	if err := j.Scan(gone, 0, 0, func(line.Record) error { return nil }); !errors.Is(err, context.Canceled) {
		t.Errorf("a stopped scan gave %v", err)
	}
}

func TestOfTypes(t *testing.T) {
	all := tale(3000)
	j := open(t, t.TempDir())
	must(t, j.Append(ctx, all))
	var want []line.Record
	for _, r := range all {
		if name := line.EventName(r.Event); r.Seq > 100 && r.Seq < 2500 && (name == "day-opened" || name == "batch-cooled") {
			want = append(want, r)
		}
	}
	var got []line.Record
	must(t, j.OfTypes(context.Background(), 100, 2500, []string{"day-opened", "batch-cooled"}, func(r line.Record) error {
		got = append(got, r)
		return nil
	}))
	stopped, stop := context.WithCancel(context.Background())
	err := j.OfTypes(stopped, 0, 2500, []string{"line-laid"}, func(line.Record) error {
		stop() // and no other of that name comes
		return nil
	})
	if all[0].Seq != 1 || line.EventName(all[0].Event) != "line-laid" || !errors.Is(err, context.Canceled) {
		t.Errorf("a stopped search gave %v", err)
	}
	if len(want) == 0 || len(got) != len(want) || got[0].Seq != want[0].Seq || got[len(got)-1].Seq != want[len(want)-1].Seq {
		t.Errorf("%d records, not %d", len(got), len(want))
	}
}
