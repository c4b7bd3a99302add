package screen_test

import (
	"context"
	"errors"
	"testing"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/act"
	"shedbell/ui/screen"
)

// workedDay is a day with some work, and its records.
func workedDay(t *testing.T) (before, after *line.State, all []line.Record) {
	t.Helper()
	before = line.NewState(linetest.Site(), linetest.Book())
	s, recs, no := line.Do(before, line.OpenDay{Sheet: linetest.Sheet()}, linetest.Morning, "Ash")
	if no != nil {
		t.Fatal(no)
	}
	now := linetest.Morning
	for range 30 {
		p := line.Prompts(s, now, nil)[0]
		if p.At.After(now) {
			now = p.At
		}
		next, more, no := line.Do(s, p.Command, now, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s, recs = next, append(recs, more...)
	}
	return before, s, recs
}

func TestTodayIsReadFromTheDaysRecords(t *testing.T) {
	before, s, recs := workedDay(t)
	env := &screen.Env{Context: act.Context{State: s}, Before: before, History: recs}
	var j screen.JournalReader
	cmd := j.Start(env)
	if _, busy, _ := j.Progress(); !busy || j.Today() != nil {
		t.Error("not being read after the start")
	}
	cmd()
	if b := j.Today(); b == nil || len(b.Days) != 1 || b.Site.Name != "Test shed" || len(b.Batches) != 6 {
		t.Fatalf("book %+v", b)
	}
	if j.Start(env) != nil {
		t.Error("the same is read twice")
	}
}

func TestThePastIsReadWithProgress(t *testing.T) {
	before, s, recs := workedDay(t)
	s.Seq = 16384
	var j screen.JournalReader
	seen := 0.0
	env := &screen.Env{Context: act.Context{State: s}, Before: before, History: recs, Past: func(_ context.Context, fn func(line.Record) error) error {
		for i := range 16384 {
			if err := fn(line.Record{Seq: int64(i + 1), Group: int64(i + 1), At: linetest.Morning, Event: line.NoteAdded{Text: "a"}}); err != nil {
				return err
			}
			if i == 10000 {
				seen, _, _ = j.Progress()
			}
		}
		return nil
	}}
	j.Start(env)()
	if seen != 0.5 { // 8192 records of 16384 were told of
		t.Errorf("%g read half way through", seen)
	}
	if b := j.All(); b == nil || len(b.Notes) != 16384 {
		t.Error("the past is not read")
	}
}

func TestAPastThatCannotBeRead(t *testing.T) {
	before, s, recs := workedDay(t)
	var j screen.JournalReader
	j.Start(&screen.Env{Context: act.Context{State: s}, Before: before, History: recs, Past: func(context.Context, func(line.Record) error) error {
		return errors.New("the disk is gone")
	}})()
	if _, busy, err := j.Progress(); busy || err == nil || j.All() != nil || j.Today() == nil {
		t.Errorf("busy %v, error %v", busy, err)
	}
}
