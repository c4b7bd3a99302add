package live_test

import (
	"encoding/json"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/linetest"
	"shedbell/line/live"
)

// counting is a journal that counts what a start reads.
type counting struct {
	*journal.Journal
	read int
}

func (c *counting) Replay(from int64, fn func(line.Record) error) error {
	return c.Journal.Replay(from, func(r line.Record) error {
		c.read++
		return fn(r)
	})
}

func openJournal(t testing.TB, dir string) *counting {
	t.Helper()
	j, err := journal.Open(dir, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return &counting{Journal: j}
}

// day opens a day, works a little and closes it again.
func day(t *testing.T, l *live.Line, clock *linetest.Manual) {
	begin(t, l, clock)
	for _, b := range l.State().Batches {
		do(t, l, line.Scrap{Batch: b.ID, Reason: "hot"})
	}
	do(t, l, line.CloseDay{})
	clock.Advance(12 * time.Hour)
}

// A start reads the last day's records only, and still has that day's log, what it
// began with, and the way back.
func TestAStartReadsTheLastDayOnly(t *testing.T) {
	dir, clock := t.TempDir(), linetest.NewManual(linetest.Morning)
	l, _ := open(t, openJournal(t, dir), clock)
	for range 5 {
		day(t, l, clock)
	}
	begin(t, l, clock)
	want, history, before := l.State(), l.History(), l.Before()
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	check := func(name string, spoil func(*journal.Journal) error, read int) {
		t.Helper()
		store := openJournal(t, dir)
		if err := spoil(store.Journal); err != nil {
			t.Fatal(err)
		}
		l, _ := open(t, store, clock)
		defer l.Close()
		if store.read != read {
			t.Errorf("%s: the start read %d records of %d, want %d", name, store.read, want.Seq, read)
		}
		if facts(t, l.State()) != facts(t, want) || facts(t, l.Before()) != facts(t, before) {
			t.Errorf("%s: the line is not as it was", name)
		}
		if text, ok := l.State().CanUndo(); !ok || text.String() != "pea 1 moved on" {
			t.Errorf("%s: undo would take back %q", name, text)
		}
		if got := l.History(); len(got) != len(history) || got[0].Seq != history[0].Seq {
			t.Errorf("%s: the log has %d entries from %d, want %d from %d", name, len(got), got[0].Seq, len(history), history[0].Seq)
		}
	}
	check("kept", func(*journal.Journal) error { return nil }, len(history))
	check("none", (*journal.Journal).DropSnapshots, int(want.Seq))
	check("kept anew by that start", func(*journal.Journal) error { return nil }, len(history))
	check("of another version", func(j *journal.Journal) error {
		return j.SaveSnapshot(before.Seq, []byte(`{"Format":99,"State":{"LastID":[]}}`))
	}, int(want.Seq))
	check("of a lie about its number", func(j *journal.Journal) error {
		data, err := line.EncodeState(want)
		if err != nil {
			return err
		}
		return j.SaveSnapshot(before.Seq, data)
	}, int(want.Seq))
}

// Undo across a snapshot: the opening of a day and the closing of the one before it
// can be taken back, also by the start that follows.
func TestUndoReachesBehindASnapshot(t *testing.T) {
	dir, clock := t.TempDir(), linetest.NewManual(linetest.Morning)
	l, _ := open(t, openJournal(t, dir), clock)
	day(t, l, clock)
	do(t, l, line.OpenDay{Sheet: linetest.Sheet()})
	saved(t, l)
	for {
		if _, ok := l.State().CanUndo(); !ok {
			break
		}
		do(t, l, line.Undo{})
	}
	want := l.State()
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	store := openJournal(t, dir)
	l, _ = open(t, store, clock)
	defer l.Close()
	if store.read == int(want.Seq) {
		t.Error("no snapshot was used")
	}
	if facts(t, l.State()) != facts(t, want) {
		t.Errorf("the line is\n%s\nwas\n%s", facts(t, l.State()), facts(t, want))
	}
}

// facts is everything that a state says, with all times in one zone.
func facts(t *testing.T, s *line.State) string {
	t.Helper()
	data, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
