package line

import (
	"strconv"
	"time"
)

// decodeOften reads the events that a journal is full of, in exactly the form that
// EncodeEvent gives them. Anything else is left to encoding/json, which is four
// times slower: that is most of the time of reading ten years.
func decodeOften(name string, data []byte) (Event, bool) {
	s := scan{rest: data}
	switch name {
	case "step-started":
		var e StepStarted
		e.Batch = s.key(`{"Batch":`)
		e.At = s.place(`,"At":`)
		e.Planned = time.Duration(s.long(`,"Planned":`))
		e.Load, e.Setting, e.Revision = s.key(`,"Load":`), s.key(`,"Setting":`), s.key(`,"Revision":`)
		return e, s.end()
	case "step-finished":
		e := StepFinished{Batch: s.key(`{"Batch":`)}
		if s.maybe(`,"Packages":`) {
			e.Packages = s.key("")
		}
		if s.maybe(`,"NetG":`) {
			e.NetG = s.float()
		}
		if s.maybe(`,"Lot":`) {
			e.Lot = s.word()
		}
		if s.maybe(`,"PackagesBy":`) {
			e.PackagesBy = Source(s.word())
		}
		if s.maybe(`,"NetBy":`) {
			e.NetBy = Source(s.word())
		}
		return e, s.end()
	case "batch-loaded":
		e := BatchLoaded{Batch: s.key(`{"Batch":`)}
		e.At = s.place(`,"At":`)
		return e, s.end()
	case "batch-cooled":
		e := BatchCooled{Batch: s.key(`{"Batch":`)}
		e.At = s.place(`,"At":`)
		return e, s.end()
	case "chore-started":
		e := ChoreStarted{ID: s.key(`{"ID":`), Kind: s.chore(`,"Kind":`), At: s.place(`,"At":`)}
		if s.maybe(`,"Crop":`) {
			e.Crop = s.word()
		}
		e.Trays = s.key(`,"Trays":`)
		e.Planned = time.Duration(s.long(`,"Planned":`))
		e.Load, e.Setting = s.key(`,"Load":`), s.key(`,"Setting":`)
		return e, s.end()
	case "chore-finished":
		e := ChoreFinished{ID: s.key(`{"ID":`)}
		return e, s.end()
	}
	return nil, false
}

// scan reads one JSON object of numbers and plain words, and remembers when it is
// another.
type scan struct {
	rest  []byte
	wrong bool
}

func (s *scan) text(want string) {
	if s.wrong || len(s.rest) < len(want) || string(s.rest[:len(want)]) != want {
		s.wrong = true
		return
	}
	s.rest = s.rest[len(want):]
}

// maybe reads a text that may be left out.
func (s *scan) maybe(want string) bool {
	if s.wrong || len(s.rest) < len(want) || string(s.rest[:len(want)]) != want {
		return false
	}
	s.rest = s.rest[len(want):]
	return true
}

// word reads a string of ASCII letters that needs no escape.
func (s *scan) word() string {
	s.text(`"`)
	for i, c := range s.rest {
		switch {
		case s.wrong:
		case c == '"':
			out := string(s.rest[:i])
			s.rest = s.rest[i+1:]
			return out
		case c >= ' ' && c < 0x7f && c != '\\':
			continue
		}
		break
	}
	s.wrong = true
	return ""
}

// float reads a number without an exponent.
func (s *scan) float() float64 {
	rest := s.rest
	s.long("")
	if s.wrong {
		return 0
	}
	n := len(rest) - len(s.rest)
	if n < len(rest) && rest[n] == '.' {
		n++
		first := n
		for n < len(rest) && rest[n] >= '0' && rest[n] <= '9' {
			n++
		}
		s.wrong = n == first
	}
	v, err := strconv.ParseFloat(string(rest[:n]), 64)
	s.wrong = s.wrong || err != nil
	s.rest = rest[n:]
	return v
}

func (s *scan) key(before string) int {
	n := s.long(before)
	if int64(int(n)) != n {
		s.wrong = true
	}
	return int(n)
}

// chore reads a kind of chore by its name or, in older records, its number.
func (s *scan) chore(before string) ChoreKind {
	s.text(before)
	if !s.maybe(`"`) {
		return ChoreKind(s.small(""))
	}
	for k, name := range choreNames {
		if s.maybe(name) {
			s.text(`"`)
			return ChoreKind(k)
		}
	}
	s.wrong = true
	return 0
}

func (s *scan) small(before string) uint8 {
	n := s.long(before)
	if int64(uint8(n)) != n {
		s.wrong = true
	}
	return uint8(n)
}

// long reads up to 18 digits, which cannot overflow, without leading zeros.
func (s *scan) long(before string) int64 {
	s.text(before)
	i, negative := 0, false
	if !s.wrong && len(s.rest) > 0 && s.rest[0] == '-' {
		i, negative = 1, true
	}
	first, n := i, int64(0)
	for ; !s.wrong && i < len(s.rest) && s.rest[i] >= '0' && s.rest[i] <= '9' && i-first < 18; i++ {
		n = n*10 + int64(s.rest[i]-'0')
	}
	if s.wrong || i == first || s.rest[first] == '0' && i-first > 1 {
		s.wrong = true
		return 0
	}
	s.rest = s.rest[i:]
	if negative {
		return -n
	}
	return n
}

func (s *scan) place(before string) (p Place) {
	s.text(before)
	p.Station = s.key(`{"Station":`)
	p.Slot = s.key(`,"Slot":`)
	s.text("}")
	return p
}

func (s *scan) end() bool {
	s.text("}")
	return !s.wrong && len(s.rest) == 0
}
