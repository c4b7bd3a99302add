package live

import (
	"context"
	"errors"
	"time"

	"shedbell/line"
)

// Saving is how far the disk is behind.
type Saving struct {
	Saved   int64 // last record on the disk
	Pending int   // records that are only in memory
	Problem error // why saving does not work at the moment
}

// Saving tells how far the disk is behind.
func (l *Line) Saving() Saving {
	l.mu.Lock()
	defer l.mu.Unlock()
	return Saving{Saved: l.saved, Pending: len(l.queue), Problem: l.problem}
}

// Wait returns when record seq is on the disk, when saving fails, or when ctx is
// over. Nothing is lost when it fails: the records stay queued and are written as
// soon as the disk takes them.
func (l *Line) Wait(ctx context.Context, seq int64) error {
	for {
		l.mu.Lock()
		saved, problem, changed := l.saved, l.problem, l.changed
		l.mu.Unlock()
		switch {
		case saved >= seq:
			return nil
		case problem != nil:
			return problem
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-changed:
		}
	}
}

// retryEvery is how long the writer waits after a disk that refused.
const retryEvery = time.Second

// write moves the queue to the disk until ctx is over, and beats meanwhile.
func (l *Line) write(ctx context.Context) {
	defer close(l.done)
	beat := time.NewTicker(BeatEvery)
	defer beat.Stop()
	l.beat()
	for {
		retry := l.drain(ctx)
		l.keepSnapshot()
		var again <-chan time.Time
		if retry {
			again = time.After(retryEvery)
		}
		select {
		case <-ctx.Done():
			return
		case <-l.wake:
		case <-again:
		case <-beat.C:
			l.beat()
		}
	}
}

// beat leaves word that somebody watches.
func (l *Line) beat() {
	err := l.store.Beat(l.clock.Now())
	if err != nil {
		l.failed(err)
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if len(l.queue) == 0 {
		l.problem = nil // the disk is back, and nothing was waiting for it
	}
}

// drain writes the queue. retry says that something is left because the disk
// refused.
func (l *Line) drain(ctx context.Context) (retry bool) {
	for {
		l.mu.Lock()
		batch := append([]line.Record(nil), l.queue...)
		l.mu.Unlock()
		if len(batch) == 0 {
			return false
		}
		if err := l.store.Append(ctx, batch); err != nil {
			l.failed(err)
			return true
		}
		l.mu.Lock()
		l.queue = l.queue[len(batch):]
		l.saved = batch[len(batch)-1].Seq
		l.problem = nil
		l.signal()
		l.mu.Unlock()
	}
}

func (l *Line) failed(err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.problem = err
	l.signal()
}

// signal wakes everybody in Wait. The caller holds the lock.
func (l *Line) signal() {
	close(l.changed)
	l.changed = make(chan struct{})
}

// ErrUnsaved says that the line was closed while records were only in memory.
var ErrUnsaved = errors.New("not everything could be saved")

// Close writes what is queued, marks a clean end and closes the store.
func (l *Line) Close() error {
	l.stop()
	<-l.done
	l.drain(context.Background())
	l.keepSnapshot()
	s := l.Saving()
	if s.Pending > 0 {
		return errors.Join(ErrUnsaved, s.Problem, l.store.Close())
	}
	return l.store.CloseClean(l.clock.Now())
}

// Closing is closed as soon as the line is being closed.
func (l *Line) Closing() <-chan struct{} { return l.ctx.Done() }
