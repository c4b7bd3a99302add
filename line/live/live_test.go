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
	return l, notice.String()
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
func begin(t *testing.T, l *live.Line, clock *linetest.Manual) {
	t.Helper()
	do(t, l, line.OpenDay{Sheet: linetest.Sheet()})
	first := l.State().Batches[0].ID
	do(t, l, line.Start{Batch: first, To: line.Anywhere})
	clock.Advance(10 * time.Minute)
	do(t, l, line.Advance{Batch: first, To: line.Anywhere})
}

func TestEverythingIsThereAfterAnOrderlyEnd(t *testing.T) {
	store, clock := &linetest.Memory{}, linetest.NewManual(linetest.Morning)
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
	store, clock := &linetest.Memory{}, linetest.NewManual(linetest.Morning)
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
	store, clock := &linetest.Memory{}, linetest.NewManual(linetest.Morning)
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
	store, clock := &linetest.Memory{}, linetest.NewManual(linetest.Morning)
	l, _ := open(t, store, clock)
	saved(t, l)
	store.Refuse(errors.New("disk full"))
	do(t, l, line.OpenDay{Sheet: linetest.Sheet()})
	if err := l.Close(); !errors.Is(err, live.ErrUnsaved) {
		t.Errorf("Close said %v", err)
	}
}

func TestRefusalsAreKeptForTheRecords(t *testing.T) {
	store, clock := &linetest.Memory{}, linetest.NewManual(linetest.Morning)
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

// Who acts goes on after a restart, whatever the program itself or another screen has
// written down since, as long as that person is on the line.
func TestWhoActsGoesOn(t *testing.T) {
	store, clock := &linetest.Memory{}, linetest.NewManual(linetest.Morning)
	l, _ := open(t, store, clock)
	sheet := linetest.Sheet()
	sheet.Crew = []string{"Ash", "Rowan"}
	do(t, l, line.OpenDay{Sheet: sheet})
	do(t, l, line.HandOn{To: "Rowan"})
	phone := l.Sit(live.SeatOptions{Name: "phone", By: "Ash", Acts: true})
	if _, _, no := phone.Do(line.AddNote{Text: "wet floor"}); no != nil {
		t.Fatal(no)
	}
	if _, _, no := phone.Do(line.HandOn{To: "Ash"}); no == nil || no.Rule != live.RuleSettled || l.By() != "Rowan" {
		t.Errorf("a seat of somebody's own handed the board on: %v, %s acts", no, l.By())
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	site := linetest.Site()
	site.Name = "Alder shed, new" // refused while the day is open, and that is kept
	again, notice, err := live.Open(store, site, linetest.Book(), clock, "Ash")
	if err != nil || len(notice) == 0 || again.By() != "Rowan" {
		t.Fatalf("error %v, notice %q, %s acts", err, notice, again.By())
	}
	do(t, again, line.SetCrew{Names: []string{"Fern"}})
	do(t, again, line.AddNote{Text: "new here"})
	if by := again.History()[len(again.History())-1].By; by != "Fern" {
		t.Errorf("recorded for %s, who is not on the line", by)
	}
	if _, _, no := again.Do(line.HandOn{To: "Rowan"}); no == nil || again.By() != "Fern" {
		t.Errorf("handed on to somebody who is not on the line: %v", no)
	}
	do(t, again, line.Undo{})
	if again.By() != "Rowan" {
		t.Errorf("%s acts when the change of crew was taken back", again.By())
	}
	if err := again.Close(); err != nil {
		t.Fatal(err)
	}
}
