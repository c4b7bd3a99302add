package live

import (
	"time"

	"shedbell/line"
)

// WatchClock compares the computer's clocks every second until the line is closed.
// A clock that is set moves no countdown and is recorded; after a sleep people are
// asked about what ran meanwhile.
func (l *Line) WatchClock(read func() Readings) {
	l.CheckClock(read())
	go func() {
		every := time.NewTicker(checkEvery)
		defer every.Stop()
		for {
			select {
			case <-l.ctx.Done():
				return
			case <-every.C:
				l.CheckClock(read())
			}
		}
	}()
}

// CheckClock takes one reading of the computer's clocks and does what it calls
// for.
func (l *Line) CheckClock(r Readings) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.ctx.Err() != nil || r.Wall.IsZero() {
		return
	}
	base, seen := l.clocks, l.seen
	if l.seen = l.clock.Now(); base.Wall.IsZero() {
		l.clocks = r
		return
	}
	slept, jump := r.since(base)
	if slept > 0 {
		l.clock.Skip(slept)
		l.slept(seen, slept)
		l.seen = l.clock.Now()
	}
	if jump != 0 {
		l.do(line.NoteClock{By: jump, Ahead: l.state.Ahead + jump}, "")
	}
	if slept > 0 || jump != 0 {
		l.clocks = r
	}
	l.follow()
}

// slept records that the computer slept and nobody watched.
func (l *Line) slept(last time.Time, long time.Duration) {
	if long > shortGap && l.running() {
		l.do(line.Recover{LastBeat: last}, "")
	}
	l.fridgeGap(last, long, false)
}

// follow puts the line's time on to the computer's when that is ahead and nothing
// depends on it.
func (l *Line) follow() {
	if by := l.state.Ahead; by > 0 && l.state.Idle() {
		l.clock.Skip(by)
		l.do(line.FollowClock{By: by}, "")
	}
}
