package power

import (
	"time"

	"shedbell/line/say"
)

// Ask is the question put to the interlock: may this load start at this setting?
type Ask struct {
	Load    int
	Setting int
	For     time.Duration // how long it is expected to run; 0 when nobody knows
}

// Reason is one rule that refuses a start, in words.
type Reason struct {
	Rule   string
	Says   say.Speech
	Source say.Sentence // what the rule rests on
}

// Never is the margin in time of a start that no breaker trips on.
const Never = time.Duration(1<<63 - 1)

// Verdict is the interlock's answer. The numbers are those of the circuit or
// feeder leg that binds; they are filled in whether or not the start is allowed.
type Verdict struct {
	Allowed   bool
	Circuit   string // circuit or feeder that binds
	Leg       Leg    // leg of the feeder that binds; LegNone for a circuit
	AmpsNow   float64
	AmpsAfter float64
	LimitA    float64
	Reasons   []Reason
	SwitchOff []int      // loads to switch off so that the start fits; empty when nothing helps or waiting is the answer
	Earliest  time.Time  // when it fits by itself, from the countdowns that run; zero when it does not
	Confirm   []int      // loads that must be confirmed off by Earliest, because they do not switch themselves off
	WayOut    say.Speech // SwitchOff, Earliest and Confirm in words; empty when allowed

	// MarginA is the room that would be left in amperes, continuous loads counted
	// at 125 percent; negative when it does not fit.
	MarginA float64
	// Margin is how much longer than it does the start could take before the
	// quickest breaker trips: Never when there is nothing to trip on, negative when
	// it would trip, zero for running current above the limit.
	Margin time.Duration
	// TripIn is, for a refused over-current, after how long the quickest breaker
	// would trip; zero when none would.
	TripIn time.Duration
}
