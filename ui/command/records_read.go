package command

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/pace"
	"shedbell/line/records"
)

// undoReach is how many records before an undo can belong to what it takes back:
// the line keeps 20 actions, of a handful of records each.
const undoReach = 500

// Events that records of other days are read by: what the line was, and what was
// written down later about the days that are asked for.
var (
	contextEvents = []string{"line-laid", "recipe-revised", "seed-used", "trouble-reported", "trouble-mended", "slot-broken", "slot-mended", "undone", "corrected"}
	laterEvents   = []string{"entry-made", "sold", "undone", "corrected"}
)

// bookReader reads a book out of a journal, as little of it as will do.
type bookReader struct {
	j    *journal.Journal
	ctx  context.Context
	tell func(part float64) // how far it is, from 0 to 1
	now  time.Time          // an open day has lasted until then
	deep bool               // with paces and every step
}

// whole reads all records.
func (b *bookReader) whole(f records.Filter) (*records.Book, error) {
	last, err := b.j.LastSeq()
	if err != nil {
		return nil, err
	}
	days, err := b.j.Days()
	if err != nil {
		return nil, err
	}
	r := records.NewReader(f)
	r.Now = b.now
	if b.deep {
		r.Pace, r.Detail = &pace.Learner{}, &records.Detail{}
	}
	for _, d := range days {
		if f.Day(d.Date) {
			r.ExpectDays++
		}
	}
	if err := b.span(r, 1, last, last); err != nil {
		return nil, err
	}
	return r.Book(), nil
}

func (b *bookReader) span(r *records.Reader, from, to, last int64) error {
	if from > to {
		return nil
	}
	return b.j.Scan(b.ctx, from, to, func(rec line.Record) error {
		r.Add(rec)
		if rec.Seq%4096 == 0 {
			b.tell(float64(rec.Seq) / float64(last))
		}
		return nil
	})
}

// days reads the days that the filter asks for and, of the others, what those rest
// on. It gives what whole gives, as far as the reports of days go.
func (b *bookReader) days(f records.Filter) (*records.Book, error) {
	last, err := b.j.LastSeq()
	if err != nil {
		return nil, err
	}
	days, err := b.j.Days()
	if err != nil {
		return nil, err
	}
	from, to := stretch(days, f, last)
	r := records.NewReader(f)
	r.Now = b.now
	if err := b.some(r, 0, from, contextEvents); err != nil {
		return nil, err
	}
	if err := b.span(r, from, to, last); err != nil {
		return nil, err
	}
	if to < last {
		if err := b.some(r, to, last+1, laterEvents); err != nil {
			return nil, err
		}
	}
	book := r.Book()
	err = b.j.Scan(b.ctx, last, last, func(rec line.Record) error {
		book.Last = rec.At
		return nil
	})
	return book, err
}

// lastDay is the date of the last day that the filter asks for: from the index, or
// where that is lost from the records. It is empty where there is none.
func (b *bookReader) lastDay(f records.Filter) (string, error) {
	days, err := b.j.Days()
	if err != nil {
		return "", err
	}
	for _, d := range slices.Backward(days) {
		if f.Day(d.Date) {
			return d.Date, nil
		}
	}
	book, err := b.whole(f)
	if err != nil || len(book.Days) == 0 {
		return "", err
	}
	return book.Days[len(book.Days)-1].Date, nil
}

// stretch is from where to where the days of a filter reach in the journal, with
// what was written down before and after them on the same dates.
func stretch(days []journal.Day, f records.Filter, last int64) (from, to int64) {
	from, to = last+1, last
	for i, d := range days {
		if f.From != "" && d.Date < f.From || f.To != "" && d.Date > f.To {
			continue
		}
		first := int64(1)
		if i > 0 {
			first = days[i-1].First
		}
		from = min(from, first)
	}
	if from > last {
		return 1, last // no such day: entries may be there all the same
	}
	for _, d := range days {
		if f.To != "" && d.Date > f.To && d.First > from {
			to = min(to, d.First-1)
		}
	}
	return from, to
}

// some reads records of a few kinds after one number and before another, without
// those that were undone.
func (b *bookReader) some(r *records.Reader, after, before int64, names []string) error {
	kept, undos, err := b.both(after, before, names)
	if err != nil {
		return err
	}
	gone, err := b.undone(kept, undos)
	if err != nil {
		return err
	}
	for _, rec := range kept {
		if !gone[rec.Group] {
			rec.Undo = "" // nothing that is read after it takes it back
			r.Add(rec)
		}
	}
	return nil
}

// both looks through the halves of a stretch side by side: passing over a million
// records is most of the time that a month takes.
func (b *bookReader) both(after, before int64, names []string) (kept []line.Record, undos []int64, err error) {
	var halves [2]struct {
		kept  []line.Record
		undos []int64
		err   error
	}
	middle := after + (before-after)/2
	var wait sync.WaitGroup
	for i, part := range [2][2]int64{{after, middle + 1}, {middle, before}} {
		wait.Go(func() {
			h := &halves[i]
			h.err = b.j.OfTypes(b.ctx, part[0], part[1], names, func(rec line.Record) error {
				switch rec.Event.(type) {
				case line.Undone, line.Corrected:
					h.undos = append(h.undos, rec.Seq)
				default:
					h.kept = append(h.kept, rec)
				}
				return nil
			})
		})
	}
	wait.Wait()
	return append(halves[0].kept, halves[1].kept...), append(halves[0].undos, halves[1].undos...), errors.Join(halves[0].err, halves[1].err)
}

// undone finds the groups that were taken back, among those that can be: it reads
// around the undos that come soon after a record that is kept.
func (b *bookReader) undone(kept []line.Record, undos []int64) (map[int64]bool, error) {
	gone := map[int64]bool{}
	done := int64(0)
	for i, u := range undos {
		at, _ := slices.BinarySearchFunc(kept, u-undoReach, func(r line.Record, seq int64) int { return int(r.Seq - seq) })
		near := slices.ContainsFunc(kept[at:], func(r line.Record) bool { return r.Seq < u && r.Undo != "" })
		if !near || u <= done {
			continue
		}
		end := u
		for _, next := range undos[i+1:] { // undos that follow each other are read at once
			if next-end > undoReach {
				break
			}
			end = next
		}
		var window []line.Record
		err := b.j.Scan(b.ctx, max(1, u-2*undoReach), end, func(r line.Record) error {
			window = append(window, r)
			return nil
		})
		if err != nil {
			return nil, err
		}
		for group := range records.TakenBack(window) {
			gone[group] = true
		}
		done = end
	}
	return gone, nil
}

// progress says how far the journal is read, once that takes longer than a second.
func progress(a *app) func(part float64) {
	next := a.env.Now().Add(time.Second)
	return func(part float64) {
		if at := a.env.Now(); at.After(next) {
			next = at.Add(time.Second)
			fmt.Fprintln(a.env.Stderr, a.words.Say("cmd-records.reading", part*100))
		}
	}
}
