package line

import (
	"time"

	"shedbell/line/say"
	"shedbell/power"
)

// Command is something a person asks of the line. Decide answers it.
type Command interface {
	decide(d *draft) *Refusal
}

// OpenDay begins a processing day and makes its batches.
type OpenDay struct{ Sheet Sheet }

// CloseDay ends the day. It is refused while greens are on the line.
type CloseDay struct{ Note string }

// AddTrays puts more trays of a crop on the open day.
type AddTrays struct{ Demand Demand }

// Start puts a batch into a slot, if it is not there yet, and starts the step.
type Start struct {
	Batch   int
	To      Place  // Anywhere: first free slot of the next station
	Setting string // empty: the station's or the recipe's
	ByHand  bool   // people stand in for the machine
}

// Advance finishes a batch's step, confirms its machine off and starts the next
// step, all or nothing.
type Advance struct {
	Batch   int
	To      Place
	Setting string // as for Start
	ByHand  bool   // as for Start
}

// Put carries a batch to the spinner or a rack and starts nothing there, so that
// its place before comes free while the circuit has no room. A step that is still
// active is finished first. Start starts it where it stands.
type Put struct {
	Batch int
	To    Place
}

// Finish ends the step in a slot and confirms its machine off.
type Finish struct {
	At       Place
	Packages int     // pack only
	NetG     float64 // pack only; 0: packages times the recipe's net weight

	PackagesBy, NetBy Source // pack only; how they are known, typed where nobody says
}

// Adjust moves the end of a running countdown.
type Adjust struct {
	At Place
	By time.Duration
}

// Hold stops a running step for now; its machine is confirmed off.
type Hold struct{ At Place }

// Resume starts a held or interrupted step again where it stopped.
type Resume struct {
	At     Place
	ByHand bool // what is left is done by hand
}

// Restart starts a held or interrupted step again from the beginning.
type Restart struct{ At Place }

// Split takes trays out of a batch into a new one.
type Split struct {
	Batch int
	Trays int
}

// Merge puts a batch's trays into another of the same crop.
type Merge struct {
	From, Into int
}

// Scrap takes a batch off the line for good.
type Scrap struct {
	Batch  int
	Reason string
}

// StartChore starts work on trays, surfaces or water.
type StartChore struct {
	Kind   ChoreKind
	To     Place
	Trays  int    // 0: as many as wait, up to what the slot holds
	Crop   string // sow only; empty: the next on the sow list
	ByHand bool   // people stand in for the machine
}

// SwitchOn switches a load on by hand.
type SwitchOn struct {
	Load    int
	Setting int
	For     time.Duration // 0: open-ended
}

// SwitchOff confirms a load off.
type SwitchOff struct{ Load int }

// SetCrew says who is on the line now.
type SetCrew struct{ Names []string }

// MarkTripped says that a circuit's breaker has tripped or, where Feeder names one,
// that of a feeder.
type MarkTripped struct {
	Circuit int
	Feeder  string
	AsOf    time.Time // zero: now
}

// ResetBreaker says that a tripped breaker has been reset.
type ResetBreaker struct {
	Circuit int
	Feeder  string
	AsOf    time.Time // zero: now
}

// MarkBroken takes a slot out of use; MarkMended puts it back.
type MarkBroken struct {
	At  Place
	Why string
}

// MarkMended puts a broken slot back into use.
type MarkMended struct{ At Place }

// AddNote writes a line into the journal.
type AddNote struct{ Text string }

// Recover is given once after a restart: what ran is known to have run until
// LastBeat and nobody watched it from then on.
type Recover struct{ LastBeat time.Time }

// LayLine takes over a changed line file. It is refused while anything runs.
type LayLine struct{ Site Site }

// Undo takes back the last action.
type Undo struct{}

// Rule names of refusals that are not about power, stable for scripts.
const (
	RuleOrder    = "order"    // not the next thing for this batch
	RuleOccupied = "occupied" // the slot holds another batch
	RuleCapacity = "capacity" // more trays than fit
	RuleApart    = "apart"    // crops that must not share a tub's water
	RuleWater    = "water"    // the tub's water has to be changed first
	RuleContact  = "contact"  // sanitizer contact time is not over
	RuleBroken   = "broken"   // the slot is out of use
	RuleUnknown  = "unknown"  // no such batch, slot, load or recipe
	RuleDay      = "day"      // no day is open, or one still is
	RuleValue    = "value"    // a value that cannot be meant
	RuleNothing  = "nothing"  // nothing to do that to
)

// Refusal is Decide's no, with what would make it a yes. It is an error so that
// it can travel as one.
type Refusal struct {
	Rule    string
	Says    say.Speech     // the whole answer
	Verdict *power.Verdict // the interlock's answer when power refuses
}

// Error is the refusal in English.
func (r *Refusal) Error() string { return r.Says.String() }
