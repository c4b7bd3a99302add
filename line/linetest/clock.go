package linetest

import (
	"sync"
	"time"
)

// Manual is a clock that moves when it is told to.
type Manual struct {
	mu  sync.Mutex
	now time.Time
}

// NewManual returns a clock that stands at now.
func NewManual(now time.Time) *Manual { return &Manual{now: now} }

// Now is where the clock stands.
func (c *Manual) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

// Advance moves the clock.
func (c *Manual) Advance(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

// Skip moves the clock.
func (c *Manual) Skip(d time.Duration) { c.Advance(d) }
