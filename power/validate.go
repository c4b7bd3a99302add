package power

import (
	"fmt"
	"math"
	"time"
)

// Fault is one value of a panel that cannot be right.
type Fault struct {
	Kind  string // "panel", "feeder", "circuit", "load" or "setting"
	Index int    // index of the feeder, circuit or load
	Sub   int    // index of the setting within its load, else -1
	Field string // name of the field in this package
	Value string // what was given
	Mend  string // what would be right
}

// Error makes a Fault usable as an error.
func (f Fault) Error() string {
	return fmt.Sprintf("%s %d: %s is %s: %s", f.Kind, f.Index, f.Field, f.Value, f.Mend)
}

// The widest values that a small shed can have; anything beyond is a slip of
// the finger (common practice, no source).
const (
	maxRatingA      = 400
	maxAmpsA        = 400
	maxStartingA    = 2000
	maxStartingTime = 30 * time.Second
)

// Validate returns every fault in the panel's values, all at once.
func (p *Panel) Validate() []Fault {
	var out []Fault
	add := func(kind string, i, sub int, field string, value any, mend string) {
		out = append(out, Fault{kind, i, sub, field, fmt.Sprint(value), mend})
	}
	if !inRange(p.VoltageV, 90, 260) {
		add("panel", 0, -1, "VoltageV", p.VoltageV, "120 or 230, the volts from one leg to neutral")
	}
	for i, f := range p.Feeders {
		if !inRange(f.RatingA, 1, maxRatingA) {
			add("feeder", i, -1, "RatingA", f.RatingA, "the amps on the breaker's handle, 1 to 400")
		}
	}
	for i := range p.Circuits {
		if c := &p.Circuits[i]; !inRange(c.RatingA, 1, maxRatingA) {
			add("circuit", i, -1, "RatingA", c.RatingA, "the amps on the breaker's handle, 1 to 400")
		}
	}
	for i := range p.Loads {
		p.validateLoad(i, add)
	}
	return out
}

func (p *Panel) validateLoad(i int, add func(kind string, i, sub int, field string, value any, mend string)) {
	l := &p.Loads[i]
	if len(l.Settings) == 0 {
		add("load", i, -1, "Settings", "empty", "at least one setting with its amps")
	}
	for k, st := range l.Settings {
		if !inRange(st.AmpsA, 0, maxAmpsA) {
			add("setting", i, k, "AmpsA", st.AmpsA, "the amps on the nameplate, or 0 while nobody knows")
		}
	}
	if !inRange(l.StartingA, 0, maxStartingA) {
		add("load", i, -1, "StartingA", l.StartingA, "the amps while starting, or 0 when it has none")
	}
	if l.StartingTime < 0 || l.StartingTime > maxStartingTime {
		add("load", i, -1, "StartingTime", l.StartingTime, "0 to 30 seconds")
	}
	if (l.StartingA > 0) != (l.StartingTime > 0) {
		add("load", i, -1, "StartingTime", l.StartingTime, "starting amps and starting seconds go together")
	}
	if l.Cycles && l.WorstA() == 0 {
		add("load", i, -1, "Settings", "unknown", "a load that cycles by itself needs its amps")
	}
}

func inRange(v, lo, hi float64) bool { return !math.IsNaN(v) && v >= lo && v <= hi }
