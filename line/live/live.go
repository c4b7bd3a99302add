// Package live keeps one line running: it puts commands to Decide, applies what
// they cause, and writes it to the journal in the background, so that a slow disk
// never stops a countdown or the interlock.
package live

import (
	"context"
	"fmt"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/recipes"
)

// Store keeps records for good. Append returns once they are on the disk;
// CloseClean marks an orderly end and closes, Close only closes.
type Store interface {
	Append(ctx context.Context, records []line.Record) error
	Replay(from int64, fn func(line.Record) error) error
	Beat(now time.Time) error
	LastBeat() (time.Time, bool)
	WasClean() bool
	CloseClean(now time.Time) error
	Close() error
}

// shortGap is how long nobody may have watched before people are asked what
// happened meanwhile: two missed heartbeats.
const shortGap = 2 * BeatEvery

// BeatEvery is how often the journal's heartbeat is written.
const BeatEvery = 5 * time.Second

// Line is a line that runs. Its methods may be called from any goroutine.
type Line struct {
	clock Clock
	store Store

	shared
	by      string        // who acts where the journal names nobody on the line
	seats   []*Seat       // who shares the line, in the order of their coming
	holder  *Seat         // whose commands are taken; nil: nobody's
	since   time.Time     // when holder took the line
	queue   []line.Record // decided, not yet on the disk
	saved   int64         // last record on the disk
	problem error         // why saving does not work at the moment
	wake    chan struct{}
	changed chan struct{} // closed and renewed whenever something was saved or failed

	kept   int64     // record of the newest snapshot; only the writer uses it
	clocks Readings  // of the computer, when they were last found to have jumped
	seen   time.Time // line time when they were last looked at

	ctx  context.Context // over when the line is closed
	stop context.CancelFunc
	done chan struct{}
}

// ErrNoLine says that a store has history, but not the line that it is about.
var ErrNoLine = say.Error("notice.no-line")

// Open replays what the store holds and takes the line from there. An empty store
// begins with the given site and recipes; in a store with history they are taken
// over if they changed and nothing is going on. The notice says what the
// operator should know, if anything.
func Open(store Store, site *line.Site, book recipes.Book, clock Clock, by string) (l *Line, notice say.Speech, err error) {
	return open(store, site, book, clock, by, false)
}

// Resume is Open where nobody gives a site: the one that was laid last goes on, and
// fresh is for an empty store only.
func Resume(store Store, fresh *line.Site, book recipes.Book, clock Clock) (l *Line, notice say.Speech, err error) {
	return open(store, fresh, book, clock, fresh.Crew[0], true)
}

func open(store Store, site *line.Site, book recipes.Book, clock Clock, by string, keep bool) (l *Line, notice say.Speech, err error) {
	l = &Line{clock: clock, store: store, by: by, shared: shared{projection: newProjection(site, book)},
		wake: make(chan struct{}, 1), changed: make(chan struct{}), done: make(chan struct{})}
	if err = store.Replay(l.fromSnapshot(), l.reapply); err != nil {
		return nil, nil, fmt.Errorf("read the journal: %w", err)
	}
	if keep && l.state.Seq > 0 {
		if l.state.Laid.IsZero() {
			return nil, nil, ErrNoLine
		}
		site, l.by = l.state.Site, l.state.Site.Crew[0]
		notice = say.Speech{say.New("notice.no-line-file", site.Name, say.Date(l.state.Laid))}
	}
	l.saved = l.state.Seq
	l.ctx, l.stop = context.WithCancel(context.Background())
	notice = append(notice, l.begin(site, book)...)
	go l.write(l.ctx)
	return l, notice, nil
}

// watched says whether a step needs somebody to watch it: a countdown or a
// machine.
func watched(step *line.Step) bool {
	return step.Progress == line.Running && (step.Planned > 0 || step.Load != line.NoLoad)
}

// running says whether a countdown or a machine is going on.
func (l *Line) running() bool {
	for i := range l.state.Batches {
		if b := &l.state.Batches[i]; b.Fate == line.OnLine && watched(&b.Step) {
			return true
		}
	}
	for i := range l.state.Chores {
		if c := &l.state.Chores[i]; watched(&c.Step) {
			return true
		}
	}
	return false
}

// Now is the line's time.
func (l *Line) Now() time.Time { return l.clock.Now() }

// By is who the actions are recorded for.
func (l *Line) By() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.actor()
}

func (l *Line) actor() string { return l.state.Actor(l.by, l.clock.Now()) }

// Do puts a command to the line. What it causes is decided and queued for the
// disk when Do returns; Wait tells when it is there.
func (l *Line) Do(c line.Command) (*line.State, []line.Record, *line.Refusal) { return l.DoFor("", c) }

// DoFor is Do with who did it; somebody who is not on the line, or "", is who acts at
// the board.
func (l *Line) DoFor(who string, c line.Command) (*line.State, []line.Record, *line.Refusal) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.do(c, l.acts(who))
}

// DoAs is Do for what no person did; by is what did it, such as a meter. It cannot be
// taken back: people say what is so instead.
func (l *Line) DoAs(by string, c line.Command) (*line.State, []line.Record, *line.Refusal) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.decide(c, by, true)
}

// acts is who is meant.
func (l *Line) acts(who string) string {
	if who != "" && slices.Contains(l.state.Crew, who) {
		return who
	}
	return l.actor()
}

func (l *Line) do(c line.Command, by string) (*line.State, []line.Record, *line.Refusal) {
	return l.decide(c, by, false)
}

func (l *Line) decide(c line.Command, by string, stays bool) (*line.State, []line.Record, *line.Refusal) {
	now := l.clock.Now()
	if now.Before(l.state.At) {
		now = l.state.At
	}
	d, no := line.Decide(l.state, c, now)
	if no != nil {
		kept := line.Decision{Events: []line.Event{line.Refused{Rule: no.Rule, Says: no.Says}}}
		l.accept(kept.Records(l.state, now, by))
		return l.state, nil, no
	}
	if stays {
		d.Undo = say.Sentence{}
	}
	records := d.Records(l.state, now, by)
	l.accept(records)
	return l.state, records, nil
}

// accept applies records and queues them for the disk.
func (l *Line) accept(records []line.Record) {
	for _, r := range records {
		l.apply(r)
	}
	l.queue = append(l.queue, records...)
	select {
	case l.wake <- struct{}{}:
	default:
	}
}
