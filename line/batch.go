package line

import (
	"fmt"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/power/enum"

	"shedbell/recipes"
)

// Place is one slot of one station.
type Place struct {
	Station int
	Slot    int
}

// Nowhere is the place of a batch that is not on the line: its trays still stand
// uncut, or it has left.
var Nowhere = Place{Station: -1, Slot: -1}

// Anywhere asks Decide to choose: the first free slot of the next station.
var Anywhere = Nowhere

// Progress is how far a step is.
type Progress uint8

// How far a step is. A step that runs past its countdown is still Running: only
// a person can say that its machine is off.
const (
	Loaded      Progress = iota // in the slot, not started
	Running                     // started
	Held                        // stopped for now, machine confirmed off
	Interrupted                 // was running when the power went; its machine still counts
	Finished                    // over, machine confirmed off, not moved on yet
)

var progressNames = []string{"loaded", "running", "held", "interrupted", "finished"}

// MarshalText is the name by which records keep it.
func (p Progress) MarshalText() ([]byte, error) { return enum.Text(p, progressNames) }

// UnmarshalJSON reads the name, or the number of earlier records.
func (p *Progress) UnmarshalJSON(data []byte) error { return enum.Read(p, data, progressNames) }

// Step is one batch, or one chore, at one station.
type Step struct {
	Place    Place
	Progress Progress
	Started  time.Time
	Planned  time.Duration // countdown; 0 where the operator times the step
	Stopped  time.Time     // since when Held or Interrupted
	Paused   time.Duration // time held so far, not part of the countdown
	Ended    time.Time
	Load     int // load that the step keeps on, or NoLoad
	Setting  int
	Revision int // recipe revision it runs with; kept although the recipe moves on
	By       string
	ByHand   bool // people stand in for its machine
}

// Active says whether the step has begun and is not over.
func (s *Step) Active() bool {
	return s.Progress == Running || s.Progress == Held || s.Progress == Interrupted
}

// DueAt is when the countdown of a running step reaches zero. ok is false where
// there is no countdown or it does not run.
func (s *Step) DueAt() (at time.Time, ok bool) {
	if s.Progress != Running || s.Planned == 0 {
		return time.Time{}, false
	}
	return s.countdownEnd(), true
}

func (s *Step) countdownEnd() time.Time { return s.Started.Add(s.Planned + s.Paused) }

// Ran is how long the step has run, without the time it was held.
func (s *Step) Ran(now time.Time) time.Duration {
	switch s.Progress {
	case Loaded:
		return 0
	case Held, Interrupted:
		now = s.Stopped
	case Finished:
		now = s.Ended
	}
	return max(0, now.Sub(s.Started)-s.Paused)
}

// Left is what the countdown shows: negative once it is over.
func (s *Step) Left(now time.Time) time.Duration { return s.Planned - s.Ran(now) }

// Due says whether the countdown is over while nobody has confirmed the machine
// off.
func (s *Step) Due(now time.Time) bool {
	at, ok := s.DueAt()
	return ok && !now.Before(at)
}

// Fate is where a batch stands in the day as a whole.
type Fate uint8

// A batch waits uncut, is on the line, is cold, or is gone.
const (
	Waiting Fate = iota
	OnLine
	Cold
	Scrapped
	Merged // its trays travel on in another batch
)

var fateNames = []string{"waiting", "on the line", "cold", "scrapped", "merged"}

// MarshalText is the name by which records keep it.
func (f Fate) MarshalText() ([]byte, error) { return enum.Text(f, fateNames) }

// UnmarshalJSON reads the name, or the number of earlier records.
func (f *Fate) UnmarshalJSON(data []byte) error { return enum.Read(f, data, fateNames) }

// Batch is trays of one crop that travel together.
type Batch struct {
	ID       int // from 1, in the order the batches were made
	Crop     string
	No       int // the crop's own count, from 1: "radish 3"
	Trays    int
	Due      time.Time // when a customer waits for it; zero when nobody does
	SheetDue time.Time // the same by the day sheet alone
	Lost     int       // trays of it that were dropped or spoiled on the way
	Grown    Racks     // where its trays come from, as far as that was written down
	Fate     Fate
	Skips    []Kind // steps that it goes without; never changed in place
	Step     Step   // where it is and what is done to it; meaningful while OnLine

	WetSince time.Time     // since when the greens wait wet; zero when they do not
	WetSoFar time.Duration // all earlier waits wet together
	Packages int
	NetG     float64
	Lot      string

	PackagesBy, NetBy Source // how they are known
	ColdAt            time.Time
	Ran               *recipes.Ran // what its wet steps really ran; nil before the first; never changed in place
}

// Name is what people call the batch: crop and count.
func (b *Batch) Name() string { return fmt.Sprintf("%s %d", b.Crop, b.No) }

// Label is the name for a sentence.
func (b *Batch) Label() say.Batch { return say.Batch{Crop: b.Crop, No: b.No} }

// Caps is the name as the prompts write it.
func (b *Batch) Caps() string { return strings.ToUpper(b.Name()) }

// ChoreKind is work that has no batch.
type ChoreKind uint8

// Work on trays, surfaces and water.
const (
	WashTrays ChoreKind = iota
	SanitizeAll
	SowTrays
	ChangeWater
)

var choreNames = []string{"tray-wash", "sanitize", "sow", "water-change"}

// String is the chore's name in records.
func (c ChoreKind) String() string {
	if int(c) < len(choreNames) {
		return choreNames[c]
	}
	return "unknown"
}

// MarshalText is the name by which records keep it.
func (c ChoreKind) MarshalText() ([]byte, error) { return enum.Text(c, choreNames) }

// UnmarshalJSON reads the name, or the number of earlier records.
func (c *ChoreKind) UnmarshalJSON(data []byte) error { return enum.Read(c, data, choreNames) }

// Says is the word for it.
func (c ChoreKind) Says() say.Sentence { return say.New("chore." + c.String()) }

// station is the kind of station that the chore is done at.
func (c ChoreKind) station() (Kind, bool) {
	switch c {
	case WashTrays:
		return TrayWash, true
	case SanitizeAll:
		return Sanitize, true
	case SowTrays:
		return Sow, true
	case ChangeWater:
		return Wash, true
	}
	return 0, false
}

// Chore is a step on trays, surfaces or water instead of greens.
type Chore struct {
	ID    int
	Kind  ChoreKind
	Crop  string // sow: which crop
	Trays int
	Step  Step
}

// Water is what a tub's water has seen since it was changed.
type Water struct {
	Since   time.Time
	Batches int
	Crops   []string
	Empty   bool // somebody let it out and nobody has filled the tub since
}

// TrayPool counts the trays on their way from the cutting table back to the
// growing racks.
type TrayPool struct {
	Dirty     int
	Washed    int
	Sanitized int
	Sown      int
}
