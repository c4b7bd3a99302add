package serve

import (
	"context"
	"errors"
	"sync"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/live"
	"shedbell/line/say"
	"shedbell/recipes"
	"shedbell/ui/app"
	"shedbell/ui/screen"
)

// silentAfter is how old the writer's heartbeat may be before a viewer says so:
// three that were missed.
const silentAfter = 3 * live.BeatEvery

// WatchOptions say what to watch.
type WatchOptions struct {
	Folder string // data folder
	Site   *line.Site
	Book   recipes.Book
	Now    func() time.Time // the computer's time
	// Open opens the line for writing, which fails with journal.ErrLocked while
	// another program has it.
	Open func() (l *live.Line, notice say.Speech, err error)
}

// Watch is a line that another program on this machine runs: it follows that program's
// journal. It is the app's line until the person takes the line, which they can when
// that program has ended.
type Watch struct {
	*live.Follower
	opt WatchOptions

	mu     sync.Mutex
	writer journal.Writer
	heard  time.Time  // when the writer's heartbeat last changed, on this computer's clock
	taken  *live.Line // the line, once this program runs it
}

var _ app.Shared = (*Watch)(nil)

// NewWatch begins to watch.
func NewWatch(o WatchOptions) (*Watch, error) {
	w := &Watch{opt: o}
	f, err := live.Follow(func() (live.Source, error) {
		j, err := journal.OpenReadOnly(o.Folder)
		if err != nil {
			return nil, err
		}
		return j, nil
	}, o.Site, o.Book, o.Now)
	if errors.Is(err, journal.ErrNoFile) {
		return nil, say.Error("served.nothing-to-watch", o.Folder)
	}
	if err != nil {
		return nil, err
	}
	w.Follower = f
	w.look()
	return w, nil
}

// Run follows the line until ctx is over.
func (w *Watch) Run(ctx context.Context) {
	every := time.NewTicker(live.PollEvery)
	defer every.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-every.C:
			w.Poll()
		}
	}
}

// Poll takes over what the writer has saved since and looks whether it is alive.
func (w *Watch) Poll() {
	w.mu.Lock()
	taken := w.taken != nil
	w.mu.Unlock()
	if taken {
		return
	}
	_ = w.Follower.Poll() // Saving tells
	w.look()
}

// look reads the writer's heartbeat. At the first look its own time says how old
// it is; after that only whether it changes counts, as clocks may be set.
func (w *Watch) look() {
	now := w.opt.Now()
	next := journal.ReadWriter(w.opt.Folder)
	w.mu.Lock()
	defer w.mu.Unlock()
	switch {
	case w.heard.IsZero():
		w.heard = now
		if age := w.Follower.Now().Sub(next.Beat); !next.Beat.IsZero() && age > silentAfter {
			w.heard = now.Add(-age)
		}
	case next.Number != w.writer.Number:
		w.heard = now
	}
	w.writer = next
}

// Watching tells who has the line.
func (w *Watch) Watching() screen.Watching {
	w.mu.Lock()
	defer w.mu.Unlock()
	last := say.TimeToSecond(w.writer.Beat.In(w.opt.Now().Location()))
	switch {
	case w.taken != nil:
		return screen.Watching{}
	case w.writer.Left:
		return screen.Watching{Says: say.Speech{say.New("seat.board-s-program-closed", last)}, Urgent: true, Offer: true}
	case w.opt.Now().Sub(w.heard) > silentAfter:
		return screen.Watching{Says: say.Speech{say.New("seat.board-s-program-does", last)}, Urgent: true, Offer: true}
	}
	return screen.Watching{Says: say.Speech{say.New("seat.watching-only"), holds(w.writer.Holder)}}
}

// holds says which program has the line.
func holds(h journal.Holder) say.Sentence {
	if h.PID == 0 {
		return say.New("seat.another-program-line")
	}
	return say.New("seat.process-since-line", h.PID, h.Host, say.DateTime(h.Since))
}

// heldError says which program still has the line.
type heldError struct{ holder journal.Holder }

func (e heldError) Error() string { return e.Says().String() }

func (e heldError) Says() say.Sentence {
	h := e.holder
	if h.PID == 0 {
		return say.New("seat.another-program-still-line")
	}
	return say.New("seat.process-since-still-line", h.PID, h.Host, say.DateTime(h.Since))
}

// Take opens the line for writing. It fails while the other program still has it,
// whatever its heartbeat says.
func (w *Watch) Take() (app.Line, say.Speech, error) {
	l, word, err := w.opt.Open()
	var locked journal.ErrLocked
	if errors.As(err, &locked) {
		return nil, nil, heldError{locked.Holder}
	}
	if err != nil {
		return nil, nil, err
	}
	w.mu.Lock()
	w.taken = l
	w.mu.Unlock()
	return l, word, nil
}

// Guest says that the line goes on when a viewer is left.
func (w *Watch) Guest() bool { return true }

// By is nobody: a viewer records nothing.
func (w *Watch) By() string { return "" }

// DoFor refuses: a viewer changes nothing.
func (w *Watch) DoFor(string, line.Command) (*line.State, []line.Record, *line.Refusal) {
	return w.State(), nil, &line.Refusal{Rule: live.RuleWatching, Says: append(say.Speech{say.New("seat.not-here")}, w.Watching().Says...)}
}

// Close stops watching and, where the line was taken, closes it in good order.
func (w *Watch) Close() error {
	err := w.Follower.Close()
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.taken != nil {
		err = errors.Join(err, w.taken.Close())
	}
	return err
}
