package live

import (
	"time"

	"golang.org/x/sys/unix"
)

// ReadClocks reads the computer's clocks: of the two steady ones of
// clock_gettime(2), CLOCK_MONOTONIC stands still during a sleep.
func ReadClocks() Readings {
	for range 5 {
		before := nanoseconds(unix.CLOCK_MONOTONIC)
		r := Readings{Wall: time.Now(), Awake: before, Always: nanoseconds(unix.CLOCK_BOOTTIME)}
		if nanoseconds(unix.CLOCK_MONOTONIC)-before < 100*time.Millisecond {
			return r
		}
	}
	return Readings{} // never read together: the computer is too busy to compare
}

func nanoseconds(clock int32) time.Duration {
	var t unix.Timespec
	if err := unix.ClockGettime(clock, &t); err != nil {
		return 0
	}
	return time.Duration(t.Nano())
}
