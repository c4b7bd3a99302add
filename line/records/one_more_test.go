package records_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
	"shedbell/line/rehearse"
)

// A day of one person on a line with fast machines is held up by the hands. What one
// more pair saves is what two rehearsals from the same opening differ by.
func TestReliefIsTheDifferenceOfTwoRehearsals(t *testing.T) {
	var days [2]time.Duration
	var all []line.Record
	for n, crew := range [][]string{{"Ash"}, {"Ash", "Rowan"}} {
		site, sheet := linetest.Site(), linetest.Sheet()
		site.Crew, sheet.Crew = crew[:1], crew
		s := line.NewState(site, linetest.Book())
		s, recs, no := line.Do(s, line.OpenDay{Sheet: sheet}, linetest.Morning, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		res, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{Watch: func(_ *line.State, r line.Record) { recs = append(recs, r) }})
		if err != nil {
			t.Fatal(err)
		}
		days[n] = res.Finish.Sub(linetest.Morning)
		if n == 0 {
			first := line.Decision{Events: []line.Event{line.FirstRecord(site, linetest.Book())}}
			all = append(first.Records(&line.State{}, linetest.Morning, "Ash"), recs...)
		}
	}
	b := linetest.ReadSlice(all, records.Filter{})
	fill(t, b, b.Days[0].Date)
	r := b.Days[0].Flow.Bottleneck.OneMore
	if r == nil || r.As != days[0] || r.With != days[1] || r.Saves() != days[0]-days[1] || r.Saves() <= 0 {
		t.Errorf("%+v, rehearsed %v", r, days)
	}
}

func fill(t *testing.T, b *records.Book, date string) {
	t.Helper()
	if err := records.RehearseOneMore(context.Background(), b, date, nil); err != nil {
		t.Fatal(err)
	}
}

func TestReliefOfAPlace(t *testing.T) {
	b := linetest.Read(linetest.Years(linetest.Morning, 1), records.Filter{})
	n := &b.Days[0].Flow.Bottleneck
	for i, c := range b.Days[0].Flow.Cycles {
		if c.Kind == line.Dry && !c.Hands {
			n.Cycle = b.Days[0].Flow.Cycles[i]
		}
	}
	fill(t, b, b.Days[0].Date)
	if n.OneMore == nil || n.OneMore.More.String() != "one more place at the "+n.Name || n.OneMore.With <= 0 {
		t.Errorf("%+v", n.OneMore)
	}
	fill(t, b, "1999-01-01") // no such day
	n.OneMore = nil
	gone, stop := context.WithCancel(context.Background())
	stop()
	if err := records.RehearseOneMore(gone, b, b.Days[0].Date, nil); !errors.Is(err, context.Canceled) || n.OneMore != nil {
		t.Errorf("stopped: %v, %+v", err, n.OneMore)
	}
}

func BenchmarkFill(b *testing.B) {
	book := linetest.Read(linetest.Years(linetest.Morning, 1), records.Filter{})
	for b.Loop() {
		if err := records.RehearseOneMore(context.Background(), book, book.Days[0].Date, nil); err != nil {
			b.Fatal(err)
		}
	}
}
