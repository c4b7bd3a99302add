package line

import (
	"slices"
	"time"

	"shedbell/power"
	"shedbell/recipes"
)

// State is everything that the events so far have made. It is treated as a
// value: Apply returns a new one and shares what it did not change.
type State struct {
	Seq  int64     // number of the last record
	At   time.Time // instant of the last record
	Site *Site     // the line of today
	File *Site     // the line file, while a plug hangs on another circuit than it says; else nil
	Laid time.Time // when Site was taken over; zero: it never was
	Book recipes.Book

	Sheet  *Sheet // nil while no day is open
	Opened time.Time
	Crew   []string // everybody of the day, in the order of their places
	Hours  []Hours  // of those who are not there all day

	Power     power.State
	PowerPast *PastPower // what the wiring did before, the latest first
	Batches   []Batch    // of the open day, by ID
	Chores    []Chore    // open ones only
	Trays     TrayPool
	Sowing    []SowItem // still to sow
	Water     []Water   // per station
	Clean     time.Time // when the surfaces were last sanitized in this day; zero: not yet
	Broken    []Place   // slots out of use

	// Tripped is since when each circuit has no power, because a breaker is open or
	// because the power is away; zero while it has. It is nil as long as none had none.
	Tripped []time.Time
	Trips   []TripKept     // that nothing has been learned from yet, the latest last
	Learned []LearnedLimit // from trips

	Marks []AlarmMark // what people did about the alarms that stand

	Air      AirReading        // of the day; ask AirNow whether it still holds
	UseAir   []string          // crops whose dry time follows the air
	LastDays []Sheet           // of each weekday the last one, with what was added to it
	Past     []PackedBatch     // of earlier days, the latest last
	Tastings []recipes.Tasting // oldest first
	Filed    []recipes.Recipe  // what the recipe file last said, by crop

	Entries      []KeptEntry    // of the safety records, the latest last
	PastLimits   []PastLimits   // that held when the older of them were made
	Backlog      []Trouble      // what is broken or annoys, oldest first
	Sales        []Sale         // the latest last
	FilledOrders []SaleOrder    // as a sale that is put right may open them again
	Orders       []SaleOrder    // still to be filled
	Risks        []StandingRisk // due times that are likely to be missed
	Seeds        []SeedUsed     // the seed lot that each crop is sown from
	Growing      Racks
	Thrown       []PackagesThrown // the latest last

	Pins        []PinnedPace // paces that somebody has fixed
	LastPromise time.Time    // when a forecast of the open day was kept last; zero: not yet

	SignOffs []KeptSignOff // that stand, oldest first
	Acting   string        // to whom the board was handed on last; ask Actor

	Ahead time.Duration // how far the computer's clock is ahead of the line's time

	LastID  int // highest batch ID given
	ChoreID int

	undo  []*action // that can be taken back or put right, as they happened
	since *told     // records of the last of them, and what followed it
}

// NewState returns the state of a line on which nothing has happened.
func NewState(site *Site, book recipes.Book) *State {
	return &State{
		Site:  site,
		Book:  book,
		Crew:  site.Crew,
		Power: atRest(&site.Panel, time.Time{}),
		Water: make([]Water, len(site.Stations)),
	}
}

// atRest is the wiring with nothing on but what is never switched off.
func atRest(p *power.Panel, now time.Time) power.State {
	s := power.NewState(p)
	for i := range p.Loads {
		if p.Loads[i].StaysOn {
			s = s.Switched(p, i, power.Status{On: true, Since: now}, now)
			s.Loads[i].Started = now.Add(-p.Loads[i].StartingTime) // it ran before
		}
	}
	return s
}

// Batch returns the batch with this ID, or nil. It must not be modified.
func (s *State) Batch(id int) *Batch {
	for i := range s.Batches {
		if s.Batches[i].ID == id {
			return &s.Batches[i]
		}
	}
	return nil
}

// Occupant looks up what stands in a slot. Both are nil when it is free.
func (s *State) Occupant(p Place) (*Batch, *Chore) {
	for i := range s.Batches {
		if s.Batches[i].Fate == OnLine && s.Batches[i].Step.Place == p {
			return &s.Batches[i], nil
		}
	}
	for i := range s.Chores {
		if s.Chores[i].Step.Place == p {
			return nil, &s.Chores[i]
		}
	}
	return nil, nil
}

// StepAt returns the step in a slot, or nil when the slot is free.
func (s *State) StepAt(p Place) *Step {
	b, c := s.Occupant(p)
	switch {
	case b != nil:
		return &b.Step
	case c != nil:
		return &c.Step
	}
	return nil
}

// IsBroken says whether a slot is out of use.
func (s *State) IsBroken(p Place) bool { return slices.Contains(s.Broken, p) }

// valid says whether the line has such a slot.
func (s *State) valid(p Place) bool {
	return p.Station >= 0 && p.Station < len(s.Site.Stations) &&
		p.Slot >= 0 && p.Slot < s.Site.Stations[p.Station].Slots
}

// FreeSlot returns the first free slot of a station that can take the trays.
func (s *State) FreeSlot(station, trays int) (Place, bool) {
	st := &s.Site.Stations[station]
	if trays > st.SlotTrays {
		return Nowhere, false
	}
	for slot := range st.Slots {
		p := Place{station, slot}
		if !s.IsBroken(p) && s.StepAt(p) == nil {
			return p, true
		}
	}
	return Nowhere, false
}

// FreeSlotOf returns the first free slot of any station of a kind.
func (s *State) FreeSlotOf(k Kind, trays int) (Place, bool) {
	for i := range s.Site.Stations {
		if s.Site.Stations[i].Kind != k {
			continue
		}
		if p, ok := s.FreeSlot(i, trays); ok {
			return p, true
		}
	}
	return Nowhere, false
}

// LoadUsers counts the running steps that keep a load on, leaving one place out.
func (s *State) LoadUsers(load int, except Place) int {
	n := 0
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Fate == OnLine && b.Step.keepsOn(load) && b.Step.Place != except {
			n++
		}
	}
	for i := range s.Chores {
		if s.Chores[i].Step.keepsOn(load) && s.Chores[i].Step.Place != except {
			n++
		}
	}
	return n
}

func (s *Step) keepsOn(load int) bool {
	return s.Load == load && (s.Progress == Running || s.Progress == Interrupted)
}

// Recipe is the revision that a step of a crop would start with now.
func (s *State) Recipe(crop string) (recipes.Recipe, bool) { return s.Book.Current(crop) }

// RecipeOf is the revision that a batch's next step would run with: without what the
// batch skips, and longer on the rack for what was not spun.
func (s *State) RecipeOf(b *Batch) (recipes.Recipe, bool) {
	r, ok := s.Book.Current(b.Crop)
	if slices.Contains(b.Skips, Spin) {
		r = r.Unspun()
	}
	if slices.Contains(b.Skips, Dry) {
		r.Dry = 0
	}
	return r, ok
}

// NextKind is the station kind that a batch needs after the one it is at. Wet
// steps whose recipe time is zero, or that the line has no station for, are left
// out. ok is false once it is cold.
func (s *State) NextKind(b *Batch) (Kind, bool) {
	k := Cut
	switch b.Fate {
	case Waiting:
		return Cut, true
	case OnLine:
		k = s.Site.Stations[b.Step.Place.Station].Kind + 1
	default:
		return 0, false
	}
	r, _ := s.RecipeOf(b)
	for ; k < Pack; k++ {
		needed := k == Wash && r.WashTime() > 0 || k == Spin && r.Spin > 0 || k == Dry && r.Dry > 0
		if needed && s.Site.has(k) {
			break
		}
	}
	return k, k <= Chill
}

// Unfinished counts the batches that are neither cold nor gone.
func (s *State) Unfinished() int {
	n := 0
	for i := range s.Batches {
		if f := s.Batches[i].Fate; f == Waiting || f == OnLine {
			n++
		}
	}
	return n
}

// SowLeft counts the trays still to be sown.
func (s *State) SowLeft() int {
	n := 0
	for _, it := range s.Sowing {
		n += it.Trays
	}
	return n
}

// DayDone says whether the open day's work is over: greens cold or scrapped,
// trays washed, surfaces sanitized after the last greens, sown again as far as
// there are clean trays to sow in.
func (s *State) DayDone() bool {
	return s.Sheet != nil && s.Unfinished() == 0 && len(s.Chores) == 0 &&
		s.Trays.Dirty == 0 && s.Trays.Washed == 0 && !s.Clean.IsZero() &&
		(s.SowLeft() == 0 || s.Trays.Sanitized == 0)
}
