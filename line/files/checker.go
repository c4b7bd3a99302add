package files

import (
	"strings"
	"time"
	"unicode/utf8"

	"shedbell/line/say"
	"shedbell/recipes/strictfile"
)

// checker collects what is wrong with a file that could be read as TOML. A value
// that has a fault already is not blamed a second time.
type checker struct {
	where  *strictfile.Positions
	faults []strictfile.Fault
	blamed map[string]bool

	unreadable []strictfile.Fault // lines that are no TOML
}

func newChecker(where *strictfile.Positions, faults []strictfile.Fault) *checker {
	c := &checker{where: where, faults: faults, blamed: map[string]bool{}}
	for i := range faults {
		c.blamed[faults[i].Key] = true
		if faults[i].Key == "" {
			c.unreadable = append(c.unreadable, faults[i])
		}
	}
	return c
}

// hopeless says that nothing more can be learnt from a file: it is too large to
// be read, or has more faults than are listed.
func hopeless(faults []strictfile.Fault) bool {
	return len(faults) > strictfile.MaxFaults || (len(faults) > 0 && faults[0].Line == 0)
}

func (c *checker) fault(path string, problem, mend say.Sentence) {
	if c.blamed[path] {
		return
	}
	c.blamed[path] = true
	c.faults = append(c.faults, c.where.Fault(path, problem, mend))
}

// given says whether the file has a value for the path that could be read.
func (c *checker) given(path string) bool { return c.where.Has(path) && !c.blamed[path] }

// missing says whether a key was left out, not just written wrongly. A line that
// is no TOML, such as amps = 7,5, may be the key that seems to be missing from a
// table above it.
func (c *checker) missing(path string) bool {
	if c.where.Has(path) || c.blamed[path] {
		return false
	}
	header, _, _ := c.where.At(path)
	key := path[strings.LastIndexByte(path, '.')+1:]
	for _, f := range c.unreadable {
		if f.Line > header && strings.HasPrefix(f.Value, key) {
			return false
		}
	}
	return true
}

// number checks a value that is there against its range.
func (c *checker) number(path string, v, from, to float64, unit string) {
	if !c.given(path) || (v >= from && v <= to) {
		return
	}
	problem := say.New("fault.out-range")
	if v < 0 {
		problem = say.New("fault.negative")
	}
	c.fault(path, problem, strictfile.Range(from, to, unit))
}

// span checks a time that is there against its range.
func (c *checker) span(path string, v strictfile.Duration, from, to time.Duration) {
	if d := time.Duration(v); c.given(path) && (d < from || d > to) {
		c.fault(path, say.New("fault.out-range"), say.New("fault.range-quoted", strictfile.Duration(from), strictfile.Duration(to)))
	}
}

// text checks a name for what would spoil the board.
func (c *checker) text(path, name string) {
	switch {
	case !c.given(path):
	case strings.TrimSpace(name) == "":
		c.fault(path, say.New("fault.empty"), say.New("fault.give-name"))
	case strings.TrimSpace(name) != name:
		c.fault(path, say.New("fault.starts-ends"), say.New("fault.remove"))
	case utf8.RuneCountInString(name) > longestName:
		c.fault(path, say.New("fault.too-long"), say.New("fault.use-most-characters", longestName))
	}
}

// names checks the names of one table of the file: each clean, no two alike even
// where only the case differs, as wet fingers and tired eyes mix those up.
func (c *checker) names(names []string, path func(i int) string) {
	first := map[string]int{}
	for i, name := range names {
		c.text(path(i), name)
		fold := strings.ToLower(name)
		if before, twice := first[fold]; twice && name != "" {
			line, _, _ := c.where.At(path(before))
			c.fault(path(i), say.New("fault.there-twice-first", line), say.New("fault.give-each-name"))
			continue
		}
		first[fold] = i
	}
}

// index finds a name that the file refers to. It faults an unknown one and
// returns -1.
func (c *checker) index(path, name string, unknown say.Sentence, known []string) int {
	for i, k := range known {
		if k == name {
			return i
		}
	}
	if c.given(path) {
		c.fault(path, unknown, oneOf(name, known))
	}
	return -1
}

// keyPath is the path of a key that a grower chose, quoted as Positions does.
func keyPath(path, key string) string {
	plain := func(r rune) bool {
		return r == '_' || r == '-' || (r >= '0' && r <= '9') || (r >= 'A' && r <= 'Z') || (r >= 'a' && r <= 'z')
	}
	if strings.TrimFunc(key, plain) == "" {
		return path + "." + key
	}
	return path + `."` + strings.ReplaceAll(strictfile.Printable(key), `"`, "?") + `"`
}
