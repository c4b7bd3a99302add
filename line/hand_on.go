package line

import (
	"shedbell/line/say"
	"slices"
	"strings"
	"time"
)

// HandOn has what is done at the board recorded for somebody else from now on. That
// person must be on the line.
type HandOn struct{ To string }

// HandedOn says who acts at the board.
type HandedOn struct{ To string }

func (c HandOn) decide(d *draft) *Refusal {
	to := strings.TrimSpace(c.To)
	switch {
	case !slices.Contains(d.s.Here(d.now), to):
		return refuse(RuleUnknown, "line.not-in-crew", say.Person(printable(to)))
	case to == d.s.Acting:
		return refuse(RuleNothing, "line.acts-already", say.Person(printable(to)))
	}
	d.emit(HandedOn{To: to})
	return nil
}

func (e HandedOn) apply(s *State, _ Record) { s.Acting = e.To }

// Actor is who acts at the board: the one to whom it was handed on, else the one
// who is given, else the first of the crew. Somebody who has left the line is passed
// over, unless nobody at all is on it.
func (s *State) Actor(otherwise string, now time.Time) string {
	for _, crew := range [][]string{s.Here(now), s.Crew} {
		for _, name := range []string{s.Acting, otherwise} {
			if slices.Contains(crew, name) {
				return name
			}
		}
		if len(crew) > 0 {
			return crew[0]
		}
	}
	return otherwise
}
