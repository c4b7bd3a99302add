package app

import (
	"context"
	"sync"

	"shedbell/line"
	"shedbell/line/pace"
	"shedbell/line/records"
)

// learning is what the records have shown: of the days before from the journal, read
// once a day, and of the open day from its records. Its methods take long and are called
// in the background.
type learning struct {
	line interface {
		History() []line.Record
		Before() *line.State
	}
	recent Past // the records of the last days; nil: there are none to read

	mu   sync.Mutex
	base *pace.Learner // knows the days before
	upTo int64         // the last record of these
}

// learned is what was learned until now. A journal that cannot be read teaches nothing;
// saving says what is wrong with it.
func (l *learning) learned(s *line.State) *pace.Learned {
	l.mu.Lock()
	defer l.mu.Unlock()
	before, history := l.line.Before(), l.line.History()
	if l.base == nil || l.upTo != before.Seq {
		l.base, l.upTo = &pace.Learner{}, before.Seq
		if l.recent != nil {
			l.base = l.read(before.Seq)
		}
		l.base.Learned("")
	}
	today := ""
	if s.Sheet != nil {
		today = s.Sheet.Date
	}
	open := l.base.Clone()
	records.ReadDay(history, before, s.At, open)
	return open.Learned(today)
}

func (l *learning) read(last int64) *pace.Learner {
	r := records.NewReader(records.Filter{From: "9999"}) // no day is kept
	r.Pace = &pace.Learner{}
	err := l.recent(context.Background(), func(rec line.Record) error {
		if rec.Seq <= last {
			r.Add(rec)
		}
		return nil
	})
	if err != nil {
		return &pace.Learner{}
	}
	r.Book()
	return r.Pace
}
