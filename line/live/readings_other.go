//go:build !linux

package live

import "time"

var began = time.Now()

// ReadClocks reads the computer's clocks. Where no steady clock runs on during a
// sleep, the wall clock stands in for one: a jump of it is taken for a sleep, so
// that people are asked what ran meanwhile.
func ReadClocks() Readings {
	now := time.Now()
	r := Readings{Wall: now, Awake: now.Sub(began)}
	r.Always = max(r.Awake, now.Round(0).Sub(began.Round(0)))
	return r
}
