package linetest

import (
	"context"
	"sync"
	"time"

	"shedbell/line"
)

// Memory is a store that forgets everything when the program ends.
type Memory struct {
	mu      sync.Mutex
	Records []line.Record
	beat    time.Time
	clean   bool
	refuse  error
}

// Append keeps the records.
func (m *Memory) Append(_ context.Context, records []line.Record) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.refuse != nil {
		return m.refuse
	}
	m.Records = append(m.Records, records...)
	m.clean = false
	return nil
}

// Replay hands out the records from a sequence number on.
func (m *Memory) Replay(from int64, fn func(line.Record) error) error {
	m.mu.Lock()
	records := m.Records[:len(m.Records):len(m.Records)]
	m.mu.Unlock()
	for _, r := range records {
		if r.Seq < from {
			continue
		}
		if err := fn(r); err != nil {
			return err
		}
	}
	return nil
}

// Refuse makes Append fail with err until it is called with nil.
func (m *Memory) Refuse(err error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.refuse = err
}

// Beat keeps the heartbeat.
func (m *Memory) Beat(now time.Time) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.beat = now
	return nil
}

// LastBeat is the last heartbeat.
func (m *Memory) LastBeat() (time.Time, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.beat, !m.beat.IsZero()
}

// WasClean says whether the last user ended in an orderly way.
func (m *Memory) WasClean() bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.clean
}

// CloseClean marks an orderly end.
func (m *Memory) CloseClean(now time.Time) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.beat, m.clean = now, true
	return nil
}

// Close does nothing.
func (m *Memory) Close() error { return nil }
