package line

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"shedbell/line/say"
)

// Hours is a stretch of the day for which somebody is on the line. Who has none is
// there all day; who has two or more has breaks between them.
type Hours struct {
	Name string
	From time.Time `json:",omitzero"` // zero: from the beginning
	To   time.Time `json:",omitzero"` // zero: to the end
}

func (h *Hours) has(at time.Time) bool {
	return (h.From.IsZero() || !at.Before(h.From)) && (h.To.IsZero() || at.Before(h.To))
}

// SetHours says when somebody is on the line today; without hours, all day. Somebody
// who is new comes last in the order of places.
type SetHours struct {
	Name  string
	Hours []Hours // their names are ignored
}

// GiveOver says whose the work by hand at a place is from now on.
type GiveOver struct {
	At Place
	To string
}

// HoursSet replaces the hours of one person.
type HoursSet struct {
	Name  string
	Hours []Hours `json:",omitempty"`
}

// WorkGivenOver says who goes on with work by hand.
type WorkGivenOver struct {
	At Place
	To string
}

// Bounds of a crew, far above what a small shed has.
const (
	mostPeople = 20
	mostHours  = 10
)

// Here is who is on the line at an instant, in the order of their places.
func (s *State) Here(at time.Time) []string {
	if len(s.Hours) == 0 {
		return s.Crew
	}
	out := make([]string, 0, len(s.Crew))
	for _, name := range s.Crew {
		if s.here(name, at) {
			out = append(out, name)
		}
	}
	return out
}

func (s *State) here(name string, at time.Time) bool {
	all := true
	for i := range s.Hours {
		if h := &s.Hours[i]; h.Name == name {
			if h.has(at) {
				return true
			}
			all = false
		}
	}
	return all
}

// HoursOf are the stretches of one person in their order; none: there all day.
func (s *State) HoursOf(name string) []Hours {
	var out []Hours
	for _, h := range s.Hours {
		if h.Name == name {
			out = append(out, h)
		}
	}
	return out
}

// BackAt is when somebody who is not here comes (again); zero: not today.
func (s *State) BackAt(name string, now time.Time) time.Time {
	var at time.Time
	for _, h := range s.HoursOf(name) {
		if h.From.After(now) && (at.IsZero() || h.From.Before(at)) {
			at = h.From
		}
	}
	return at
}

// HandsChange is the next instant after now at which somebody comes or goes; zero:
// nobody does.
func (s *State) HandsChange(now time.Time) time.Time {
	var at time.Time
	for i := range s.Hours {
		for _, t := range [2]time.Time{s.Hours[i].From, s.Hours[i].To} {
			if t.After(now) && (at.IsZero() || t.Before(at)) {
				at = t
			}
		}
	}
	return at
}

// until is somebody's hours if they go at an instant.
func (s *State) until(name string, at time.Time) []Hours {
	var out []Hours
	hours := s.HoursOf(name)
	if len(hours) == 0 {
		hours = []Hours{{Name: name}}
	}
	for _, h := range hours {
		if !h.From.IsZero() && !h.From.Before(at) {
			break
		}
		if h.To.IsZero() || h.To.After(at) {
			h.To = at
		}
		out = append(out, h)
	}
	return out
}

// Goes is the command for somebody who goes at an instant, and comes back at another;
// zero: not today.
func (s *State) Goes(name string, at, back time.Time) SetHours {
	out := s.until(name, at)
	if !back.IsZero() {
		out = append(out, s.from(name, back)...)
	}
	return SetHours{Name: name, Hours: out}
}

// from is somebody's hours from an instant on: to the end of what they are in then or
// come for next.
func (s *State) from(name string, at time.Time) []Hours {
	h := Hours{Name: name, From: at}
	for _, o := range s.HoursOf(name) {
		if o.To.IsZero() || o.To.After(at) {
			h.To = o.To
			break
		}
	}
	return []Hours{h}
}

// Comes is the command for somebody who comes at an instant and stays as long as they
// would have.
func (s *State) Comes(name string, at time.Time) SetHours {
	if !slices.Contains(s.Crew, name) {
		return SetHours{Name: name, Hours: []Hours{{Name: name, From: at}}}
	}
	return SetHours{Name: name, Hours: append(s.until(name, at), s.from(name, at)...)}
}

// Stays is the command for somebody who stays to the end.
func (s *State) Stays(name string) SetHours {
	hours := s.HoursOf(name)
	if n := len(hours); n > 0 {
		hours[n-1].To = time.Time{}
	}
	if len(hours) == 1 && hours[0].From.IsZero() {
		hours = nil
	}
	return SetHours{Name: name, Hours: hours}
}

// OnBreak says whether somebody was here, is away and comes back.
func (s *State) OnBreak(name string, now time.Time) bool {
	left := slices.ContainsFunc(s.Hours, func(h Hours) bool { return h.Name == name && !h.To.IsZero() && !h.To.After(now) })
	return left && !s.here(name, now) && !s.BackAt(name, now).IsZero()
}

// InHand is the work by hand that somebody has begun and that goes on.
func (s *State) InHand(name string) []Place {
	var out []Place
	add := func(step *Step) {
		if step.Progress == Running && step.By == name && s.Site.Stations[step.Place.Station].Hands == HandsThroughout {
			out = append(out, step.Place)
		}
	}
	for i := range s.Batches {
		if b := &s.Batches[i]; b.Fate == OnLine {
			add(&b.Step)
		}
	}
	for i := range s.Chores {
		if c := &s.Chores[i]; c.Kind != ChangeWater {
			add(&c.Step)
		}
	}
	return out
}

// NewHelper is what somebody is called who is in no file, until they have a name.
func (s *State) NewHelper(word string) string {
	for n := len(s.Crew) + 1; ; n++ {
		if name := word + " " + strconv.Itoa(n); !slices.Contains(s.Crew, name) {
			return name
		}
	}
}

func (c SetHours) decide(d *draft) *Refusal {
	c.Name = strings.TrimSpace(printable(c.Name))
	hours, no := hoursOf(c.Name, c.Hours)
	switch known := slices.Contains(d.s.Crew, c.Name); {
	case no != nil:
		return no
	case d.s.Sheet == nil:
		return refuse(RuleDay, "line.no-day")
	case known && slices.Equal(hours, d.s.HoursOf(c.Name)):
		return refuse(RuleNothing, "line.so-already")
	case !known && len(d.s.Crew) >= mostPeople:
		return refuse(RuleValue, "line.crew-most", mostPeople)
	}
	e := HoursSet{Name: c.Name, Hours: hours}
	after := applyEvent(d.s, Record{At: d.now, Event: e})
	if work := d.s.InHand(c.Name); len(work) > 0 && d.s.here(c.Name, d.now) && !after.here(c.Name, d.now) {
		return refuse(RuleOrder, "line.leaves-work", say.Person(c.Name), d.at(work[0]))
	}
	d.undo = say.New("undo.hours", say.Person(c.Name))
	d.emit(e)
	return nil
}

// hoursOf checks somebody's hours and puts them into their order.
func hoursOf(name string, hours []Hours) ([]Hours, *Refusal) {
	if name == "" {
		return nil, refuse(RuleValue, "line.crew-no-name")
	}
	if len(name) > longestName {
		return nil, refuse(RuleValue, "line.name-long", longestName)
	}
	if len(hours) > mostHours {
		return nil, refuse(RuleValue, "line.hours-most", say.Person(name), mostHours)
	}
	var out []Hours
	for _, h := range hours {
		h.Name = name
		if !writable(h.From) || !writable(h.To) || !h.To.IsZero() && !h.To.After(h.From) {
			return nil, refuse(RuleValue, "line.hours-order", say.Person(name))
		}
		out = append(out, h)
	}
	slices.SortStableFunc(out, func(a, b Hours) int { return a.From.Compare(b.From) })
	for i := 1; i < len(out); i++ {
		if before := out[i-1].To; before.IsZero() || out[i].From.Before(before) {
			return nil, refuse(RuleValue, "line.hours-order", say.Person(name))
		}
	}
	return out, nil
}

func (c GiveOver) decide(d *draft) *Refusal {
	step := d.s.StepAt(c.At)
	switch {
	case step == nil || !step.Active():
		return refuse(RuleNothing, "line.nothing-to-finish")
	case !slices.Contains(d.s.Here(d.now), c.To):
		return refuse(RuleUnknown, "line.not-in-crew", say.Person(printable(c.To)))
	case step.By == c.To:
		return refuse(RuleNothing, "line.so-already")
	}
	d.undo = say.New("undo.give-over", d.at(c.At))
	d.emit(WorkGivenOver(c))
	return nil
}

func (e HoursSet) apply(s *State, _ Record) {
	if !slices.Contains(s.Crew, e.Name) {
		s.Crew = append(slices.Clip(s.Crew), e.Name)
	}
	s.Hours = slices.DeleteFunc(slices.Clone(s.Hours), func(h Hours) bool { return h.Name == e.Name })
	s.Hours = append(s.Hours, e.Hours...)
}

func (e WorkGivenOver) apply(s *State, _ Record) {
	if step := s.step(e.At); step != nil {
		step.By = e.To
	}
}

// The hours of those who stay on the line stay too.
func (e CrewChanged) apply(s *State, _ Record) {
	s.Crew = e.Names
	s.Hours = slices.DeleteFunc(slices.Clone(s.Hours), func(h Hours) bool { return !slices.Contains(e.Names, h.Name) })
}

// comesFree is when each person can begin something: those who are here, and those who
// come.
func (s *State) comesFree(now time.Time) []time.Time {
	out := make([]time.Time, 0, max(1, len(s.Crew)))
	for _, name := range s.Crew {
		if s.here(name, now) {
			out = append(out, now)
		} else if at := s.BackAt(name, now); !at.IsZero() {
			out = append(out, at)
		}
	}
	if len(out) == 0 {
		out = append(out, now) // somebody has to see to it
	}
	slices.SortFunc(out, func(a, b time.Time) int { return cmp.Compare(a.UnixNano(), b.UnixNano()) })
	return out
}
