package live_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/live"
)

func open(t *testing.T, store live.Store, clock live.Clock) (*live.Line, string) {
	t.Helper()
	l, notice, err := live.Open(store, linetest.Site(), linetest.Book(), clock, "Ash")
	if err != nil {
		t.Fatal(err)
	}
	return l, notice
}

// saved waits until everything decided so far is on the disk.
func saved(t *testing.T, l *live.Line) {
	t.Helper()
	if err := l.Wait(context.Background(), l.State().Seq); err != nil {
		t.Fatal(err)
	}
}

func do(t *testing.T, l *live.Line, c line.Command) {
	t.Helper()
	if _, _, no := l.Do(c); no != nil {
		t.Fatal(no)
	}
}

// begin opens a day and starts cutting and washing its first batch.
func begin(t *testing.T, l *live.Line, clock *live.Manual) {
	t.Helper()
	do(t, l, line.OpenDay{Sheet: linetest.Sheet()})
	first := l.State().Batches[0].ID
	do(t, l, line.Start{Batch: first, To: line.Anywhere})
	clock.Advance(10 * time.Minute)
	do(t, l, line.Advance{Batch: first, To: line.Anywhere})
}

func TestEverythingIsThereAfterAnOrderlyEnd(t *testing.T) {
	store, clock := &live.Memory{}, live.NewManual(linetest.Morning)
	l, _ := open(t, store, clock)
	begin(t, l, clock)
	before := l.State()
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	clock.Advance(time.Minute)
	l, notice := open(t, store, clock)
	defer l.Close()
	if notice != "" {
		t.Errorf("notice %q after an orderly end", notice)
	}
	after := l.State()
	if after.Seq != before.Seq || after.Batch(1).Step != before.Batch(1).Step {
		t.Errorf("step %+v became %+v", before.Batch(1).Step, after.Batch(1).Step)
	}
	if left := after.Batch(1).Step.Left(clock.Now()); left != 3*time.Minute+30*time.Second-time.Minute {
		t.Errorf("countdown shows %s; it should have gone on while the board was closed", left)
	}
}

func TestAPowerCutIsAskedAbout(t *testing.T) {
	store, clock := &live.Memory{}, live.NewManual(linetest.Morning)
	l, _ := open(t, store, clock)
	begin(t, l, clock)
	saved(t, l)
	clock.Advance(time.Minute)
	last := clock.Now()
	if err := store.Beat(last); err != nil {
		t.Fatal(err)
	}
	clock.Advance(10 * time.Minute) // nobody watches and nobody closes
	l2, notice := open(t, store, clock)
	defer l2.Close()
	if notice == "" {
		t.Error("no word about ten minutes without anybody watching")
	}
	step := l2.State().Batch(1).Step
	if step.Progress != line.Interrupted || step.Ran(clock.Now()) != time.Minute {
		t.Errorf("step is %v and ran %s; want interrupted after the minute that is certain", step.Progress, step.Ran(clock.Now()))
	}
	if !l2.State().Power.Loads[linetest.Blower].On {
		t.Error("the blower no longer counts, although nobody has confirmed it off")
	}
}

func TestADiskThatRefusesLosesNothing(t *testing.T) {
	store, clock := &live.Memory{}, live.NewManual(linetest.Morning)
	l, _ := open(t, store, clock)
	do(t, l, line.OpenDay{Sheet: linetest.Sheet()})
	saved(t, l)
	full := errors.New("disk full")
	store.Refuse(full)
	do(t, l, line.Start{Batch: 1, To: line.Anywhere})
	if err := l.Wait(context.Background(), l.State().Seq); !errors.Is(err, full) {
		t.Fatalf("Wait said %v", err)
	}
	if s := l.Saving(); s.Pending != 1 || !errors.Is(s.Problem, full) {
		t.Errorf("saving is %+v", s)
	}
	if l.State().Batch(1).Step.Progress != line.Running {
		t.Error("the line stands still because of the disk")
	}
	store.Refuse(nil)
	do(t, l, line.Finish{At: line.Place{Station: linetest.Cut}})
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	l, _ = open(t, store, clock)
	defer l.Close()
	if p := l.State().Batch(1).Step.Progress; p != line.Finished {
		t.Errorf("after the disk came back the batch is %v", p)
	}
}

func TestClosingWithAFullDiskSaysSo(t *testing.T) {
	store, clock := &live.Memory{}, live.NewManual(linetest.Morning)
	l, _ := open(t, store, clock)
	saved(t, l)
	store.Refuse(errors.New("disk full"))
	do(t, l, line.OpenDay{Sheet: linetest.Sheet()})
	if err := l.Close(); !errors.Is(err, live.ErrUnsaved) {
		t.Errorf("Close said %v", err)
	}
}

func TestRefusalsAreKeptForTheRecords(t *testing.T) {
	store, clock := &live.Memory{}, live.NewManual(linetest.Morning)
	l, _ := open(t, store, clock)
	if _, _, no := l.Do(line.Undo{}); no == nil {
		t.Fatal("there was something to undo in an empty journal")
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	kept := 0
	store.Replay(0, func(r line.Record) error {
		if _, ok := r.Event.(line.Refused); ok {
			kept++
		}
		return nil
	})
	if kept != 1 {
		t.Errorf("%d refusals kept", kept)
	}
}

// Who acted last goes on after a restart, as long as that person is on the line.
func TestWhoActsGoesOn(t *testing.T) {
	store, clock := &live.Memory{}, live.NewManual(linetest.Morning)
	l, _ := open(t, store, clock)
	sheet := linetest.Sheet()
	sheet.Crew = []string{"Ash", "Rowan"}
	for _, c := range []line.Command{line.OpenDay{Sheet: sheet}, line.AddNote{Text: "wet floor"}} {
		if _, _, no := l.Do(c); no != nil {
			t.Fatal(no)
		}
		l.SetBy("Rowan")
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	again, _ := open(t, store, clock)
	if by := again.By(); by != "Rowan" {
		t.Errorf("%s acts", by)
	}
	if _, _, no := again.Do(line.SetCrew{Names: []string{"Fern"}}); no != nil {
		t.Fatal(no)
	}
	if err := again.Close(); err != nil {
		t.Fatal(err)
	}
	if last, _ := open(t, store, clock); last.By() != "Ash" {
		t.Errorf("%s acts and is not on the line", last.By())
	}
}
