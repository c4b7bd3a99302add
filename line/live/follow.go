package live

import (
	"context"
	"errors"
	"fmt"
	"time"

	"shedbell/line"
	"shedbell/recipes"
)

// Source is a journal that another program writes.
type Source interface {
	LastSeq() (int64, error)
	Replay(from int64, fn func(line.Record) error) error
	Replaced() bool // another journal has taken its place
	Close() error
}

// PollEvery is how often a follower looks for new records.
const PollEvery = 250 * time.Millisecond

// Follower is a line that runs elsewhere, as its journal tells. Its methods may be
// called from any goroutine.
type Follower struct {
	open func() (Source, error)
	now  func() time.Time
	site *line.Site
	book recipes.Book

	shared
	src     Source // nil: to be opened anew
	problem error  // why the journal cannot be read at the moment
}

// Follow reads the journal that open gives and follows it; open is called again
// whenever the journal was replaced or could not be read. The site and the recipes
// are those that a journal without records begins with; now is the computer's time.
func Follow(open func() (Source, error), site *line.Site, book recipes.Book, now func() time.Time) (*Follower, error) {
	f := &Follower{open: open, now: now, site: site, book: book, shared: shared{projection: newProjection(site, book)}}
	if err := f.Poll(); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}

// Poll takes over what is new. It costs one look at the journal's end while
// nothing is. What was read before stays when it fails.
func (f *Follower) Poll() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.problem = f.poll()
	if f.problem != nil && f.src != nil {
		_ = f.src.Close()
		f.src = nil
	}
	return f.problem
}

func (f *Follower) poll() error {
	if f.src != nil && f.src.Replaced() {
		_ = f.src.Close()
		f.src = nil
	}
	t := f.projection
	if f.src == nil {
		src, err := f.open()
		if err != nil {
			return err
		}
		f.src, t = src, newProjection(f.site, f.book)
		t.fromSnapshot(src)
	}
	last, err := f.src.LastSeq()
	if err != nil || last == t.state.Seq && last > 0 {
		f.projection = t
		return err
	}
	if err = f.src.Replay(t.state.Seq+1, t.reapply); err != nil {
		return fmt.Errorf("read the journal: %w", err)
	}
	f.projection = t
	return nil
}

// Now is the computer's time, less what the line's clock is known to be behind it.
func (f *Follower) Now() time.Time {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.now().Add(-f.state.Ahead)
}

// Saving tells whether the journal could be read; a follower has nothing to save.
func (f *Follower) Saving() Saving {
	f.mu.Lock()
	defer f.mu.Unlock()
	return Saving{Saved: f.state.Seq, Problem: f.problem}
}

// Wait returns at once: what a follower shows is on the disk.
func (f *Follower) Wait(context.Context, int64) error { return nil }

// Close closes the journal.
func (f *Follower) Close() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.src == nil {
		return nil
	}
	err := f.src.Close()
	f.src = nil
	return err
}

// fromSnapshot winds the projection on to the state that a source keeps of the time
// before its last day, if it keeps one.
func (t *projection) fromSnapshot(src Source) {
	kept, ok := src.(interface {
		LatestSnapshot() (seq int64, data []byte, ok bool, err error)
	})
	if !ok {
		return
	}
	seq, data, ok, err := kept.LatestSnapshot()
	if err != nil || !ok {
		return
	}
	if s, err := line.DecodeState(data); err == nil && s.Seq == seq {
		t.state, t.before = s, s
	}
}
