package live

import (
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// RuleWatching is the rule of a refusal to a seat that does not have the line.
const RuleWatching = "watching"

// RuleSettled is the rule of a refusal to hand the board on from a seat that belongs
// to somebody.
const RuleSettled = "settled"

// ErrMayNotAct says that a seat is for watching only.
var ErrMayNotAct = say.Error("seat.watches-only")

// Seat is one screen's place at a line that several share. One seat at a time has
// the line: only its commands are decided, those of the others are refused and
// leave no trace in the journal.
type Seat struct {
	*Line
	name string // as the other seats read it
	by   string // who its actions are recorded for; empty: as on the line
	acts bool
	home bool
}

// SeatOptions say who sits there.
type SeatOptions struct {
	Name string // as the other seats read it: "the board in the shed"
	By   string // who its actions are recorded for; empty: as on the line
	Acts bool   // may have the line
	Home bool   // the line falls to it when the seat that has it is left
}

// Sit adds a seat. It has the line at once if it may act and nobody has the line.
func (l *Line) Sit(o SeatOptions) *Seat {
	l.mu.Lock()
	defer l.mu.Unlock()
	s := &Seat{Line: l, name: o.Name, by: o.By, acts: o.Acts, home: o.Home}
	l.seats = append(l.seats, s)
	if l.holder == nil && s.acts {
		l.give(s)
	}
	return s
}

// give hands the line over. The caller holds the lock.
func (l *Line) give(s *Seat) { l.holder, l.since = s, l.clock.Now() }

// Leave gives the seat up. If it had the line, the home seat has it now, else
// nobody: whoever comes next takes it knowingly.
func (s *Seat) Leave() {
	l := s.Line
	l.mu.Lock()
	defer l.mu.Unlock()
	l.seats = slices.DeleteFunc(l.seats, func(o *Seat) bool { return o == s })
	if l.holder != s {
		return
	}
	l.give(nil)
	for _, o := range l.seats {
		if o.home && o.acts {
			l.give(o)
			return
		}
	}
}

// Take makes this seat the one that has the line; the one that had it watches from
// now on.
func (s *Seat) Take() error {
	l := s.Line
	l.mu.Lock()
	defer l.mu.Unlock()
	switch {
	case !s.acts:
		return ErrMayNotAct
	case !slices.Contains(l.seats, s):
		return say.Error("seat.has-left")
	case l.holder != s:
		l.give(s)
	}
	return nil
}

// MayAct says whether the seat may have the line.
func (s *Seat) MayAct() bool { return s.acts }

// Holder tells who has the line and since when; mine: this seat. Without a name
// nobody has it.
func (s *Seat) Holder() (name string, since time.Time, mine bool) {
	l := s.Line
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.holder == nil {
		return "", l.since, false
	}
	return l.holder.name, l.since, l.holder == s
}

// By is who the seat's actions are recorded for.
func (s *Seat) By() string {
	if s.by != "" {
		return s.by
	}
	return s.Line.By()
}

// Do puts a command to the line if this seat has it.
func (s *Seat) Do(c line.Command) (*line.State, []line.Record, *line.Refusal) { return s.DoFor("", c) }

// DoFor is Do with who did it. What is done at a seat that belongs to somebody is
// always theirs.
func (s *Seat) DoFor(who string, c line.Command) (*line.State, []line.Record, *line.Refusal) {
	l := s.Line
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.holder == s {
		if s.by == "" {
			return l.do(c, l.acts(who))
		}
		if _, ok := c.(line.HandOn); ok {
			return l.state, nil, &line.Refusal{Rule: RuleSettled, Says: say.Speech{say.New("seat.not-here-who-acts")}}
		}
		return l.do(c, s.by)
	}
	says := say.Speech{say.New("seat.not-here-nobody-line")}
	if l.holder != nil {
		says = say.Speech{say.New("seat.not-here-line", l.holder.name)}
	}
	if !s.acts {
		says = append(says, say.New("seat.this-screen-watching-only"))
	}
	return l.state, nil, &line.Refusal{Rule: RuleWatching, Says: says}
}
