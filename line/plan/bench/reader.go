// Package bench reads published scheduling instances and scores the solver on
// them: PSPLIB .sm (Kolisch and Sprecher, "PSPLIB - a project scheduling
// problem library", European Journal of Operational Research 96, 1997),
// ProGen/max .sch (Schwindt 1998) and job shop .jss (the OR-Library layout,
// Beasley 1990). It has the checker of schedules, too, which the solver's tests use:
// nothing that plans a day runs it.
package bench

import (
	"bufio"
	"fmt"
	"io"
	"path"
	"strconv"
	"strings"
)

// Instance is a problem as its file states it: activities with one mode, a
// request per resource, and start-to-start lags.
type Instance struct {
	Name     string
	Duration []int
	Request  [][]int // per activity and resource; nil for none
	Capacity []int
	Lags     []Lag
}

// Lag is S_To >= S_From + Gap.
type Lag struct{ From, To, Gap int }

// limit bounds every number in a file: beyond it, something is misread.
const limit = 1_000_000

// Read reads an instance in the format that the name's ending tells.
func Read(r io.Reader, name string) (*Instance, error) {
	sc := &scanner{name: name, in: bufio.NewScanner(r)}
	sc.in.Buffer(make([]byte, 0, 64<<10), 1<<20)
	var in *Instance
	var err error
	switch strings.ToLower(path.Ext(name)) {
	case ".sm":
		in, err = readSM(sc)
	case ".sch":
		in, err = readSCH(sc)
	case ".jss":
		in, err = readJSS(sc)
	default:
		return nil, fmt.Errorf("%s: not one of .sm, .sch, .jss", name)
	}
	if err != nil {
		return nil, err
	}
	in.Name = name
	return in, nil
}

// IsInstance tells whether a file name has an ending that Read knows.
func IsInstance(name string) bool {
	switch strings.ToLower(path.Ext(name)) {
	case ".sm", ".sch", ".jss":
		return true
	}
	return false
}

// scanner yields lines and words and remembers where it is.
type scanner struct {
	name string
	in   *bufio.Scanner
	line int
	text string
}

func (s *scanner) errorf(format string, args ...any) error {
	return fmt.Errorf("%s:%d: %s", s.name, s.line, fmt.Sprintf(format, args...))
}

// next moves to the next line, without its line end.
func (s *scanner) next() bool {
	if !s.in.Scan() {
		return false
	}
	s.line++
	s.text = strings.TrimRight(s.in.Text(), "\r")
	return true
}

// nextFull moves to the next line that is not blank.
func (s *scanner) nextFull() error {
	for s.next() {
		if strings.TrimSpace(s.text) != "" {
			return nil
		}
	}
	if err := s.in.Err(); err != nil {
		s.line++
		return s.errorf("%v", err)
	}
	s.line++
	return s.errorf("the file ends too early")
}

// end demands that nothing but blank lines follows.
func (s *scanner) end() error {
	for s.next() {
		if strings.TrimSpace(s.text) != "" {
			return s.errorf("unexpected text after the end: %q", s.text)
		}
	}
	return s.in.Err()
}

// ints reads the current line as whole numbers.
func (s *scanner) ints() ([]int, error) {
	fields := strings.Fields(s.text)
	out := make([]int, len(fields))
	for i, f := range fields {
		n, err := s.number(f)
		if err != nil {
			return nil, err
		}
		out[i] = n
	}
	return out, nil
}

func (s *scanner) number(f string) (int, error) {
	n, err := strconv.Atoi(f)
	if err != nil {
		return 0, s.errorf("%q is not a whole number", f)
	}
	if n < -limit || n > limit {
		return 0, s.errorf("%d is beyond the limit of %d", n, limit)
	}
	return n, nil
}

// intsOnNext reads a line of at least least numbers.
func (s *scanner) intsOnNext(least int) ([]int, error) {
	if err := s.nextFull(); err != nil {
		return nil, err
	}
	ns, err := s.ints()
	if err == nil && len(ns) < least {
		err = s.errorf("%d numbers where at least %d belong", len(ns), least)
	}
	return ns, err
}

// nonNegative demands that no number is below 0.
func (s *scanner) nonNegative(ns []int) error {
	for _, n := range ns {
		if n < 0 {
			return s.errorf("%d is negative", n)
		}
	}
	return nil
}

// readRequests reads a line for each activity, numbered from first on: number, mode,
// duration and requests.
func readRequests(s *scanner, in *Instance, noun string, first, resources int) error {
	for i := range in.Duration {
		ns, err := s.intsOnNext(3)
		if err != nil {
			return err
		}
		if ns[0] != i+first || ns[1] != 1 {
			return s.errorf("%s %d mode %d where %s %d mode 1 belongs", noun, ns[0], ns[1], noun, i+first)
		}
		if len(ns) != 3+resources {
			return s.errorf("%d requests for %d resources", len(ns)-3, resources)
		}
		if err := s.nonNegative(ns); err != nil {
			return err
		}
		in.Duration[i], in.Request[i] = ns[2], ns[3:]
	}
	return nil
}

func readCapacities(s *scanner, in *Instance, resources int) error {
	ns, err := s.intsOnNext(resources)
	if err != nil {
		return err
	}
	if len(ns) != resources {
		return s.errorf("%d capacities for %d resources", len(ns), resources)
	}
	in.Capacity = ns
	return s.nonNegative(ns)
}
