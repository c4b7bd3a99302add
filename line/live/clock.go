package live

import (
	"sync"
	"time"
)

// Clock tells the line's time. Skip puts it on at once, for time that passed while
// it stood still.
type Clock interface {
	Now() time.Time
	Skip(d time.Duration)
}

// Steady is a clock that runs on the machine's monotonic time from the wall time
// at which it was made, so that a wall clock that jumps moves no countdown. Speed
// makes it run faster, for a demonstration.
type Steady struct {
	mu    sync.Mutex
	start time.Time // line time at the beginning
	real  time.Time // carries the monotonic reading
	speed float64
}

// NewSteady starts a clock at the given line time. A speed of 1 is real time.
func NewSteady(start time.Time, speed float64) *Steady {
	return &Steady{start: start.Round(0), real: time.Now(), speed: speed}
}

// Now is the line's time.
func (c *Steady) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.start.Add(time.Duration(float64(time.Since(c.real)) * c.speed))
}

// Skip puts the line's time on.
func (c *Steady) Skip(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.start = c.start.Add(d)
}

// Speed is how many line seconds pass in a real one.
func (c *Steady) Speed() float64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.speed
}

// SetSpeed has the clock run faster or slower from now on; 0 stands still.
func (c *Steady) SetSpeed(speed float64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	now := time.Now()
	c.start = c.start.Add(time.Duration(float64(now.Sub(c.real)) * c.speed))
	c.real, c.speed = now, speed
}
