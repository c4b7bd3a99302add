package power

import "time"

// Ask is the question put to the interlock: may this load start at this setting?
type Ask struct {
	Load    int
	Setting int
	For     time.Duration // how long it is expected to run; 0 when nobody knows
}

// Rule names, stable for scripts.
const (
	RuleRating  = "rating"  // running current above the breaker's rating
	RuleAlone   = "alone"   // a load that runs alone meets another
	RuleUnknown = "unknown" // a load without amps
)

// Reason is one rule that refuses a start, in words.
type Reason struct {
	Rule string
	Text string
}

// Verdict is the interlock's answer. The numbers are those of the circuit that
// binds; they are filled in whether or not the start is allowed.
type Verdict struct {
	Allowed   bool
	Circuit   string // circuit, leg or feeder that binds
	AmpsNow   float64
	AmpsAfter float64
	LimitA    float64
	Reasons   []Reason
	SwitchOff []int     // loads to switch off so that the start fits; empty when nothing helps
	Earliest  time.Time // when it fits by itself, from the countdowns that run; zero when it does not
	Confirm   []int     // loads that must be confirmed off by Earliest, because they do not switch themselves off
}
