// Package plan finds the best order for the rest of a processing day: when each
// step should start so that due times are met, greens do not wait wet, and the day
// ends early, given the hands, slots and amps that there are.
//
// A plan is made of the live state alone. Solve improves it for as long as it may,
// Repair mends it within milliseconds after an event. The package does no I/O. FinishOdds
// and Solve start goroutines and return after they ended; a budget is kept by a
// context with a timeout, and apart from that every instant comes in as a value.
//
// What is planned keeps to the steady currents of power.Panel. The interlock judges
// every real start once more, with starting currents and warm breakers.
package plan

import (
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// Options steer Solve and Repair. The zero value is valid.
type Options struct {
	Budget  time.Duration // for the search; 0: DefaultBudget
	WhatIf  time.Duration // for each question what one more of something would save; 0: none is asked
	Seed    uint64
	Workers int        // goroutines that search, 1 or 2; 0: 2
	Paces   line.Paces // of work by hand; nil: as the line file says
	// Previous is the plan that people follow now. It stays as it is unless the
	// gain exceeds Stable.
	Previous *Plan
	// OnBetter is called with each better plan, one call at a time.
	OnBetter func(*Plan)
}

// DefaultBudget is what Solve takes where nothing is said.
const DefaultBudget = 2 * time.Second

// Stable is the gain below which the plan that people follow stays.
const Stable = time.Minute

// Plan is when each step of the rest of the day should start. It is not changed
// once it is handed out.
type Plan struct {
	Made   time.Time
	Finish time.Time // when the day is over
	// LowerBound is a proved end: no plan on the same grid, with the same due times
	// met, ends earlier.
	LowerBound time.Time
	// Optimal says that no plan has less lateness and none of the same lateness
	// ends earlier.
	Optimal bool
	Late    time.Duration // sum over due times that are missed
	Spoilt  time.Duration // sum of waits beyond their limits, of greens that wait already
	WetWait time.Duration // sum of the waits wet still to come
	Steps   []Step        // by start
	Hands   []Task        // by start
	Binding Binding
	WhatIf  []Saving

	m *Model
	s *schedule
}

// Step is one batch or chore at one station.
type Step struct {
	Batch   int // 0 for chores
	Chore   line.ChoreKind
	Name    string // of the batch or the chore
	Crop    string // of the batch, or of what is sown
	Kind    line.Kind
	Place   line.Place
	Trays   int
	Setting int       // of the station's load
	Enters  time.Time // from when on it takes the slot
	Stands  time.Time // until when it stands there, before somebody goes to start it; zero: it is started at once
	Start   time.Time // when the machine or the work by hand starts
	Ready   time.Time // when the countdown or the work by hand is over
	Off     time.Time // when the machine is confirmed off
	Leaves  time.Time // when the slot is free again
	Running bool      // has begun already
	Tight   bool      // is part of the critical chain
}

// Task is one piece of work by hand.
type Task struct {
	Who   int // index of the person in the crew
	Step  int // index into Plan.Steps of the step that it begins, does or ends
	What  string
	Start time.Time
	End   time.Time
}

// Saving is what one more of something would save, from a plan made with it. Where one
// of the two plans is not proved best, the saving is only known to be between Least and
// Most: the bound of each is compared with the finish of the other.
type Saving struct {
	What   say.Sentence
	Finish time.Time
	Saves  time.Duration
	Least  time.Duration
	Most   time.Duration
}

// Gap is how much later the plan ends than the bound, as a share of what is left of
// the day.
func (p *Plan) Gap() float64 {
	rest := p.LowerBound.Sub(p.Made)
	if rest <= 0 || !p.Finish.After(p.LowerBound) {
		return 0
	}
	return float64(p.Finish.Sub(p.LowerBound)) / float64(rest)
}

// Advice is what the prompts need to follow the plan.
func (p *Plan) Advice() line.Advice {
	return line.Advice{Order: p.Order(), Fans: p.fans(), Stands: p.stands(), People: p.people(), Paces: p.m.paces}
}

// people gives who has most of the work on each batch at each kind of station. Chores
// are for whoever is free.
func (p *Plan) people() line.People {
	type key struct {
		batch int
		kind  line.Kind
	}
	most, who := map[key]time.Duration{}, map[key]string{}
	sums := map[Task]time.Duration{} // by person and step
	for _, t := range p.Hands {
		st := &p.Steps[t.Step]
		if st.Batch == 0 || t.Who >= len(p.m.state.Crew) {
			continue
		}
		of := Task{Who: t.Who, Step: t.Step}
		sums[of] += t.End.Sub(t.Start)
		if k := (key{st.Batch, st.Kind}); sums[of] > most[k] {
			most[k], who[k] = sums[of], p.m.state.Crew[t.Who]
		}
	}
	return func(batch int, k line.Kind) string { return who[key{batch, k}] }
}

// stands gives until when each batch stands before its machine is started.
func (p *Plan) stands() line.Stands {
	type key struct {
		batch int
		kind  line.Kind
	}
	until := map[key]time.Time{}
	for i := range p.Steps {
		if st := &p.Steps[i]; !st.Stands.IsZero() {
			until[key{st.Batch, st.Kind}] = st.Stands
		}
	}
	return func(batch int, k line.Kind) time.Time { return until[key{batch, k}] }
}

// fans gives the setting of the rack's fans for each batch.
func (p *Plan) fans() line.Fans {
	at := map[int]string{}
	for i := range p.Steps {
		st := &p.Steps[i]
		if load := p.m.site.Stations[st.Place.Station].Load; st.Batch != 0 && st.Kind == line.Dry && load != line.NoLoad {
			at[st.Batch] = p.m.site.Panel.Loads[load].Settings[st.Setting].Name
		}
	}
	return func(batch int) string { return at[batch] }
}

// Order ranks batches by their start at a kind of station, for line.Prompts. A
// batch that the plan does not know goes last.
func (p *Plan) Order() line.Order {
	type key struct {
		batch int
		kind  line.Kind
	}
	at := map[key]int{}
	for i := range p.Steps {
		if st := &p.Steps[i]; st.Batch != 0 {
			at[key{st.Batch, st.Kind}] = int(st.Start.Sub(p.Made) / time.Second)
		}
	}
	return func(batch int, k line.Kind) int {
		if t, ok := at[key{batch, k}]; ok {
			return t
		}
		return farAway
	}
}
