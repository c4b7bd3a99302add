package live_test

import (
	"context"
	"errors"
	"sync"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// slowStore is a store whose every write waits until the test lets it go on, as a
// disk that hangs does.
type slowStore struct {
	linetest.Memory
	gate chan struct{}
	once sync.Once
}

func (s *slowStore) Append(ctx context.Context, records []line.Record) error {
	<-s.gate
	return s.Memory.Append(ctx, records)
}

func (s *slowStore) Beat(now time.Time) error {
	<-s.gate
	return s.Memory.Beat(now)
}

func (s *slowStore) wake() { s.once.Do(func() { close(s.gate) }) }

// A disk that does not answer stops no countdown, no interlock and no command; what
// was done meanwhile counts as not saved, and is saved when the disk answers.
func TestADiskThatHangs(t *testing.T) {
	store, clock := &slowStore{gate: make(chan struct{})}, linetest.NewManual(linetest.Morning)
	defer store.wake()
	l, _ := open(t, store, clock)
	begin(t, l, clock)
	clock.Advance(time.Minute)
	if left := l.State().Batch(1).Step.Left(l.Now()); left != 150*time.Second {
		t.Errorf("the countdown shows %s, want 2:30", left)
	}
	if _, _, no := l.Do(line.SwitchOn{Load: linetest.Washer}); no == nil || no.Verdict == nil {
		t.Errorf("the interlock let the pressure washer on beside the blower: %v", no)
	}
	if s := l.Saving(); s.Saved != 0 || s.Pending == 0 {
		t.Errorf("saving is %+v while the disk hangs", s)
	}
	store.wake()
	saved(t, l)
	if s := l.Saving(); s.Pending != 0 || s.Problem != nil {
		t.Errorf("saving is %+v after the disk has answered", s)
	}
	want := l.State().Seq
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	l, _ = open(t, &store.Memory, clock)
	defer l.Close()
	if l.State().Seq != want {
		t.Errorf("%d records are there, want %d", l.State().Seq, want)
	}
}

// A disk that refuses 200 times, each time in the middle of work, loses nothing.
func TestADiskThatRefusesAgainAndAgain(t *testing.T) {
	store, clock := &linetest.Memory{}, linetest.NewManual(linetest.Morning)
	l, _ := open(t, store, clock)
	do(t, l, line.OpenDay{Sheet: linetest.Sheet()})
	for i := range 200 {
		if i%2 == 0 {
			store.Refuse(errors.New("disk full"))
		} else {
			store.Refuse(nil)
		}
		do(t, l, line.AddNote{Text: "wet floor"})
		clock.Advance(time.Second)
	}
	store.Refuse(nil)
	want := l.State().Seq
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	l, _ = open(t, store, clock)
	defer l.Close()
	if l.State().Seq != want {
		t.Errorf("%d records are there, want %d", l.State().Seq, want)
	}
}
