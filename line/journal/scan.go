package journal

import (
	"context"
	"runtime"
	"strings"

	"shedbell/line"
)

// scanPart is how many numbers are read at a time by one of Scan's readers, and
// scanAhead how many parts may be read before they are asked for: both bound what
// is in memory at once.
const (
	scanPart  = 4096
	scanAhead = 4
	askEvery  = 64 // rows between two looks at whether to stop
)

// Scan calls fn with the records from number from to number to, in order, as
// Replay does, but reads parts of the journal side by side on several cores. With
// to 0 it goes on to the last record there is when it begins. What is appended
// meanwhile is not read.
func (j *Journal) Scan(ctx context.Context, from, to int64, fn func(line.Record) error) error {
	last, err := j.LastSeq()
	if err != nil {
		return err
	}
	if to <= 0 || to > last {
		to = last
	}
	gaps, err := readGaps(j.r)
	if err != nil {
		return explain("journal-doing.read", j.path, err)
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	want := gaps.skip(max(from, 1))
	for part := range j.parts(ctx, max(from, 1), to) {
		p := <-part
		for i := range p.records {
			if seq := p.records[i].Seq; seq != want {
				return damaged(nil, "journal.lacks", j.path, want, seq-1)
			}
			want = gaps.skip(want + 1)
			if err := fn(p.records[i]); err != nil {
				return stopped(err)
			}
		}
		if p.err != nil {
			return explainSQL("reading", j.path, p.err)
		}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if want <= to {
		return damaged(nil, "journal.lacks", j.path, want, to)
	}
	return nil
}

// scanned is one part as it was read: what was whole, and what went wrong then.
type scanned struct {
	records []line.Record
	err     error
}

// parts reads the parts in the background and hands them on in their order.
func (j *Journal) parts(ctx context.Context, from, to int64) <-chan chan scanned {
	queue := make(chan chan scanned, scanAhead)
	free := make(chan struct{}, max(1, min(runtime.GOMAXPROCS(0), scanAhead)))
	go func() {
		defer close(queue)
		for at := from; at <= to; at += scanPart {
			part := make(chan scanned, 1)
			select {
			case free <- struct{}{}:
			case <-ctx.Done():
				return
			}
			go func() {
				records, err := j.readPart(ctx, at, min(to, at+scanPart-1))
				<-free
				part <- scanned{records, err}
			}()
			select {
			case queue <- part:
			case <-ctx.Done():
				return
			}
		}
	}()
	return queue
}

// readPart asks the context itself: the driver does so at every row, which takes a
// tenth of the time.
func (j *Journal) readPart(ctx context.Context, from, to int64) ([]line.Record, error) {
	out := make([]line.Record, 0, to-from+1)
	err := j.records(context.WithoutCancel(ctx), " WHERE seq BETWEEN ? AND ? ORDER BY seq", []any{from, to}, func(r line.Record) error {
		out = append(out, r)
		if len(out)%askEvery == 0 {
			return ctx.Err()
		}
		return nil
	})
	return out, err
}

// OfTypes calls fn with the records after one number and before another whose events
// have one of the names, in order. It passes over the others without decoding them.
func (j *Journal) OfTypes(ctx context.Context, after, before int64, names []string, fn func(line.Record) error) error {
	args := []any{after, before}
	for _, n := range names {
		args = append(args, n)
	}
	where := " WHERE seq > ? AND seq < ? AND type IN (?" + strings.Repeat(", ?", max(0, len(names)-1)) + ") ORDER BY seq"
	if len(names) == 0 {
		return nil
	}
	if err := j.records(ctx, where, args, fn); err != nil {
		return explainSQL("reading", j.path, stopped(err))
	}
	return ctx.Err()
}

func (j *Journal) records(ctx context.Context, where string, args []any, fn func(line.Record) error) error {
	var sums summer
	return eachRow(ctx, j.r, where, args, func(w *row) error {
		r, err := j.record(&sums, w)
		if err != nil {
			return err
		}
		return fn(r)
	})
}
