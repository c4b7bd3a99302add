package line

import (
	"encoding/json"
	"slices"
	"time"

	"shedbell/power"
)

// mostPast is how many changes of the wiring are kept, so that a fact that is told late
// counts from when it was true. It is more than an hour of any day brings.
const mostPast = 128

// PastPower is what the wiring did until an instant, and before that. A day's list
// begins with the day.
type PastPower struct {
	Until    time.Time
	Power    power.State
	Circuits []int // of each load; nil: as the line file says

	before *PastPower
	n      int // how many there are
}

// with is the list with one more, which is the latest.
func (p *PastPower) with(until time.Time, was power.State, circuits []int) *PastPower {
	next := &PastPower{Until: until, Power: was, Circuits: circuits, before: p, n: 1}
	if p != nil {
		next.n = p.n + 1
	}
	if next.n < mostPast {
		return next
	}
	all := next.list()
	var kept *PastPower
	for _, one := range all[len(all)/2:] {
		kept = kept.with(one.Until, one.Power, one.Circuits)
	}
	return kept
}

// list is all of them, the oldest first.
func (p *PastPower) list() []*PastPower {
	if p == nil {
		return nil
	}
	out := make([]*PastPower, p.n)
	for i, one := p.n-1, p; one != nil; i, one = i-1, one.before {
		out[i] = one
	}
	return out
}

// until is the list without what ended after an instant.
func (p *PastPower) until(at time.Time) *PastPower {
	for p != nil && p.Until.After(at) {
		p = p.before
	}
	return p
}

type keptPast struct {
	Until    time.Time
	Power    power.State
	Circuits []int `json:",omitempty"`
}

// MarshalJSON writes the list, the oldest first.
func (p *PastPower) MarshalJSON() ([]byte, error) {
	var out []keptPast
	for _, one := range p.list() {
		out = append(out, keptPast{one.Until, one.Power, one.Circuits})
	}
	return json.Marshal(out)
}

// UnmarshalJSON is the inverse of MarshalJSON.
func (p *PastPower) UnmarshalJSON(data []byte) error {
	var in []keptPast
	if err := json.Unmarshal(data, &in); err != nil {
		return err
	}
	var list *PastPower
	for _, one := range in {
		list = list.with(one.Until, one.Power, one.Circuits)
	}
	if list != nil {
		*p = *list
	}
	return nil
}

// keepPast keeps what the wiring did before a record that changed it.
func (s *State) keepPast(before *State, r Record) {
	if _, laid := r.Event.(LineLaid); laid || s.PowerPast != before.PowerPast || samePower(&s.Power, &before.Power) {
		return
	}
	s.PowerPast = s.PowerPast.with(r.At, before.Power, before.circuits())
}

// samePower says whether two states are one: every change of one makes new lists.
func samePower(a, b *power.State) bool {
	return len(a.Loads) == len(b.Loads) && len(a.Heat) == len(b.Heat) &&
		(len(a.Loads) == 0 || &a.Loads[0] == &b.Loads[0]) && (len(a.Heat) == 0 || &a.Heat[0] == &b.Heat[0])
}

// circuits is the circuit of each load where that is another than in the line file.
func (s *State) circuits() []int {
	if s.File == nil {
		return nil
	}
	return circuitsOf(&s.Site.Panel)
}

func circuitsOf(p *power.Panel) []int {
	out := make([]int, len(p.Loads))
	for i := range out {
		out[i] = p.Loads[i].Circuit
	}
	return out
}

// LineFile is the line as its file has it, with every plug where it hangs there.
func (s *State) LineFile() *Site {
	if s.File != nil {
		return s.File
	}
	return s.Site
}

// panel is the wiring with the loads on these circuits.
func (s *State) panel(circuits []int) *power.Panel {
	p := s.LineFile().Panel
	if circuits == nil {
		return &p
	}
	p.Loads = append([]power.Load(nil), p.Loads...)
	for i, c := range circuits {
		p.Loads[i].Circuit = c
	}
	return &p
}

// telling is something about the wiring that was true from an instant on.
type telling struct {
	at     time.Time
	change func(p *power.Panel, ps power.State) power.State
	load   int  // that it is about
	doubt  bool // whether it went off later is in doubt
	plug   bool // its plug goes to another circuit
	to     int
}

// tell has the wiring do what is told from then on, with what was switched after it
// switched again on top: breakers are as warm as they would be, had it been known in
// time.
func (s *State) tell(t telling) {
	doubt := -1
	if t.doubt {
		doubt = t.load
	}
	var after []*PastPower // the latest first
	past := s.PowerPast
	for ; past != nil && past.Until.After(t.at); past = past.before {
		after = append(after, past)
	}
	was, circuits := s.Power, s.circuits()
	n := len(after)
	if n > 0 {
		was, circuits = after[n-1].Power, after[n-1].Circuits
	}
	past = past.with(t.at, was, circuits)
	power := t.change(s.panel(circuits), was)
	for i := n - 1; i >= 0; i-- {
		one, next, then := after[i], s.Power, s.circuits()
		if i > 0 {
			next, then = after[i-1].Power, after[i-1].Circuits
		}
		circuits = s.moved(&t, one.Circuits, &one.Power)
		past = past.with(one.Until, power, circuits)
		from, to := s.panel(circuits), s.panel(s.moved(&t, then, &next))
		power = power.Carried(from, s.panel(one.Circuits), one.Power, next, one.Until, doubt)
		for load := range from.Loads {
			if c := to.Loads[load].Circuit; from.Loads[load].Circuit != c && (power.Loads[load] != next.Loads[load] || power.Open(c) != next.Open(c)) {
				power = power.Replugged(from, to, load, one.Until)
			}
		}
	}
	if t.plug {
		s.plug(s.moved(&t, circuitsOf(&s.Site.Panel), &s.Power))
	}
	s.Power, s.PowerPast = power, past
	for c := range s.Site.Panel.Circuits {
		s.closed(c)
	}
}

// closed notes that a circuit has power, if it has.
func (s *State) closed(circuit int) {
	if s.Tripped != nil && !s.Power.Open(circuit) {
		s.Tripped = slices.Clone(s.Tripped)
		s.Tripped[circuit] = time.Time{}
	}
}

// moved gives the circuits of a later time once a plug has gone elsewhere, unless
// somebody has seen the plug in an outlet since.
func (s *State) moved(t *telling, circuits []int, then *power.State) []int {
	if !t.plug || then.Loads[t.load].Outlet.After(t.at) {
		return circuits
	}
	now := circuitsOf(s.panel(circuits))
	now[t.load] = t.to
	return now
}

// plug has the loads hang on these circuits.
func (s *State) plug(circuits []int) {
	file := s.LineFile()
	s.Site, s.File = file, nil
	if !slices.Equal(circuits, circuitsOf(&file.Panel)) {
		site := *file
		site.Panel = *s.panel(circuits)
		s.Site, s.File = &site, file
	}
}
