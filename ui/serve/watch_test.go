package serve

import (
	"errors"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/linetest"
	"shedbell/line/live"
	"shedbell/line/say"
	"shedbell/ui/app"
)

// watchedShed is a line on the disk with its program, and a viewer beside it.
type watchedShed struct {
	t     *testing.T
	dir   string
	clock *linetest.Manual // both programs'
	line  *live.Line
	store *journal.Journal
}

func newWatchedShed(t *testing.T) *watchedShed {
	s := &watchedShed{t: t, dir: t.TempDir(), clock: linetest.NewManual(linetest.Morning)}
	s.run()
	return s
}

// run starts the program that runs the line.
func (s *watchedShed) run() {
	s.t.Helper()
	l, _, err := s.open()
	if err != nil {
		s.t.Fatal(err)
	}
	s.line = l
}

func (s *watchedShed) open() (*live.Line, say.Speech, error) {
	store, err := journal.Open(s.dir, journal.Options{Now: s.clock.Now})
	if err != nil {
		return nil, nil, err
	}
	l, word, err := live.Open(store, linetest.Site(), linetest.Book(), s.clock, "Ash")
	if err != nil {
		return nil, nil, errors.Join(err, store.Close())
	}
	s.store = store
	return l, word, nil
}

// do puts a command to the line and waits for the disk.
func (s *watchedShed) do(c line.Command) {
	s.t.Helper()
	after, _, no := s.line.Do(c)
	if no != nil {
		s.t.Fatal(no.Error())
	}
	if err := s.line.Wait(s.t.Context(), after.Seq); err != nil {
		s.t.Fatal(err)
	}
}

func (s *watchedShed) watch() *Watch {
	s.t.Helper()
	s.settle()
	w, err := NewWatch(WatchOptions{Folder: s.dir, Site: linetest.Site(), Book: linetest.Book(), Now: s.clock.Now, Open: s.open})
	if err != nil {
		s.t.Fatal(err)
	}
	s.t.Cleanup(func() { w.Close() })
	return w
}

// settle waits for what is on its way to the disk.
func (s *watchedShed) settle() {
	s.t.Helper()
	if err := s.line.Wait(s.t.Context(), s.line.State().Seq); err != nil {
		s.t.Fatal(err)
	}
}

func TestViewerFollows(t *testing.T) {
	s := newWatchedShed(t)
	defer s.line.Close()
	w := s.watch()
	s.do(line.OpenDay{Sheet: linetest.Sheet()})
	for range 20 {
		for _, p := range line.Prompts(s.line.State(), s.clock.Now(), nil) {
			if after, _, no := s.line.Do(p.Command); no == nil {
				if err := s.line.Wait(t.Context(), after.Seq); err != nil {
					t.Fatal(err)
				}
				break
			}
		}
		s.clock.Advance(time.Minute)
		w.Poll()
		s.settle()
		w.Poll()
		if got, want := w.State().Seq, s.line.State().Seq; got != want {
			t.Fatalf("the viewer is at record %d, the line at %d", got, want)
		}
	}
	a, errA := line.EncodeState(w.State())
	b, errB := line.EncodeState(s.line.State())
	if errA != nil || errB != nil || string(a) != string(b) {
		t.Errorf("the viewer shows another line than there is: %v %v", errA, errB)
	}
	if len(w.History()) != len(s.line.History()) || w.Before().Seq != s.line.Before().Seq {
		t.Errorf("%d records of the day from %d on, the line has %d from %d on", len(w.History()), w.Before().Seq,
			len(s.line.History()), s.line.Before().Seq)
	}
}

func TestViewerChangesNothing(t *testing.T) {
	s := newWatchedShed(t)
	defer s.line.Close()
	w := s.watch()
	seq := s.line.State().Seq
	_, records, no := w.DoFor("", line.OpenDay{Sheet: linetest.Sheet()})
	if no == nil || no.Rule != live.RuleWatching || len(records) > 0 || !strings.Contains(no.Error(), "Process ") || !strings.Contains(no.Error(), "is running the line") {
		t.Errorf("%v, %+v", records, no)
	}
	if _, _, err := w.Take(); err == nil || !strings.Contains(err.Error(), "still running the line") {
		t.Errorf("two programs have the line: %v", err)
	}
	if watching := w.Watching(); !watching.On() || watching.Offer || watching.Urgent {
		t.Errorf("%+v", watching)
	}
	if s.line.State().Seq != seq {
		t.Error("the line has changed")
	}
}

func TestSilentProgramIsNoticed(t *testing.T) {
	s := newWatchedShed(t)
	if err := s.store.Beat(s.clock.Now()); err != nil {
		t.Fatal(err)
	}
	w := s.watch()
	s.clock.Advance(14 * time.Second)
	w.Poll()
	if watching := w.Watching(); watching.Urgent {
		t.Errorf("after 14 s: %+v", watching)
	}
	if err := s.store.Beat(s.clock.Now()); err != nil {
		t.Fatal(err)
	}
	w.Poll()
	s.clock.Advance(15 * time.Second)
	w.Poll()
	if watching := w.Watching(); watching.Urgent {
		t.Errorf("15 s after a beat: %+v", watching)
	}
	s.clock.Advance(2 * time.Second)
	w.Poll()
	watching := w.Watching()
	if !watching.Urgent || !watching.Offer || !strings.Contains(watching.Says.String(), "has not run since 07:30:14") {
		t.Errorf("%+v", watching)
	}
	// Silent is not gone: the lock decides.
	if _, _, err := w.Take(); err == nil {
		t.Error("the line was taken from a program that has it")
	}
	s.line.Close()
}

func TestTakeWhenTheProgramHasEnded(t *testing.T) {
	s := newWatchedShed(t)
	s.do(line.OpenDay{Sheet: linetest.Sheet()})
	w := s.watch()
	if err := s.line.Close(); err != nil {
		t.Fatal(err)
	}
	w.Poll()
	if watching := w.Watching(); !watching.Offer || !strings.Contains(watching.Says.String(), "was closed at 07:30") {
		t.Errorf("%+v", watching)
	}
	l, _, err := w.Take()
	if err != nil {
		t.Fatal(err)
	}
	if _, shared := l.(app.Shared); shared || w.Watching().On() {
		t.Error("it still watches")
	}
	after, _, no := l.DoFor("", line.AddNote{Text: "taken over"})
	if no != nil {
		t.Fatal(no.Error())
	}
	if err := l.Wait(t.Context(), after.Seq); err != nil {
		t.Fatal(err)
	}
	if _, err := journal.Open(s.dir, journal.Options{}); !errors.As(err, new(journal.ErrLocked)) {
		t.Errorf("the line is not locked: %v", err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.open(); err != nil {
		t.Errorf("the line is not let go: %v", err)
	}
	s.store.Close()
}

// A journal that another one takes the place of, as after a recovery, is read from
// its beginning.
func TestReplacedJournal(t *testing.T) {
	s := newWatchedShed(t)
	s.do(line.OpenDay{Sheet: linetest.Sheet()})
	w := s.watch()
	copied := t.TempDir() + "/copy.db"
	if err := s.store.BackupTo(copied); err != nil {
		t.Fatal(err)
	}
	if err := s.line.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := journal.RestoreFrom(copied, s.dir, journal.Options{Now: s.clock.Now}); err != nil {
		t.Fatal(err)
	}
	s.run()
	defer s.line.Close()
	s.do(line.AddNote{Text: "in the new file"})
	s.settle()
	w.Poll()
	if got, want := w.State().Seq, s.line.State().Seq; got != want {
		t.Errorf("the viewer is at record %d, the line at %d", got, want)
	}
}

func TestNothingToWatch(t *testing.T) {
	_, err := NewWatch(WatchOptions{Folder: t.TempDir(), Site: linetest.Site(), Book: linetest.Book(), Now: time.Now})
	if err == nil || !strings.Contains(err.Error(), "Open the board there first") {
		t.Errorf("%v", err)
	}
}
