package live

import (
	"sync"

	"shedbell/line"
	"shedbell/recipes"
)

// tape is a line as its records have made it.
type tape struct {
	state   *line.State
	history []line.Record // the open day's records, for the log and the reports
	before  *line.State   // the line before the first of them
}

func newTape(site *line.Site, book recipes.Book) tape {
	s := line.NewState(site, book)
	return tape{state: s, before: s}
}

// take applies a record and remembers it with those of the open day.
func (t *tape) take(r line.Record) { t.add(r, line.Apply(t.state, r)) }

// retake takes a record that was read from a journal, if it fits.
func (t *tape) retake(r line.Record) error {
	next, err := line.Reapply(t.state, r)
	if err == nil {
		t.add(r, next)
	}
	return err
}

func (t *tape) add(r line.Record, next *line.State) {
	if _, ok := r.Event.(line.DayOpened); ok {
		t.history, t.before = nil, t.state
	}
	t.state = next
	t.history = append(t.history, r)
}

// records are those of the open day; appending to them does not touch the tape.
func (t *tape) records() []line.Record { return t.history[:len(t.history):len(t.history)] }

// shared is a tape that may be read from any goroutine. The mutex guards all of the
// line or the follower that it is part of.
type shared struct {
	mu sync.Mutex
	tape
}

// State is the line as it is decided or, where it runs elsewhere, as last read. It must
// not be modified.
func (s *shared) State() *line.State {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.state
}

// History is the records since the day was opened, oldest first. It must not be
// modified.
func (s *shared) History() []line.Record {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.records()
}

// Before is the line as it stood before the first record of History.
func (s *shared) Before() *line.State {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.before
}
