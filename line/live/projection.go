package live

import (
	"sync"

	"shedbell/line"
	"shedbell/recipes"
)

// projection is a line as its records have made it.
type projection struct {
	state   *line.State
	history []line.Record // the open day's records, for the log and the reports
	before  *line.State   // the line before the first of them
}

func newProjection(site *line.Site, book recipes.Book) projection {
	s := line.NewState(site, book)
	return projection{state: s, before: s}
}

// apply applies a record and remembers it with those of the open day.
func (p *projection) apply(r line.Record) { p.add(r, line.Apply(p.state, r)) }

// reapply applies a record that was read from a journal, if it fits.
func (p *projection) reapply(r line.Record) error {
	next, err := line.Reapply(p.state, r)
	if err == nil {
		p.add(r, next)
	}
	return err
}

func (p *projection) add(r line.Record, next *line.State) {
	if _, ok := r.Event.(line.DayOpened); ok {
		p.history, p.before = nil, p.state
	}
	p.state = next
	p.history = append(p.history, r)
}

// records are those of the open day; appending to them does not touch the projection.
func (p *projection) records() []line.Record { return p.history[:len(p.history):len(p.history)] }

// shared is a projection that may be read from any goroutine. The mutex guards all of the
// line or the follower that it is part of.
type shared struct {
	mu sync.Mutex
	projection
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
