package files

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"shedbell/line"
	"shedbell/line/say"
)

const (
	mostLimits    = 50
	mostKeepYears = 50
	longestWords  = 300 // of a location, a source or a scope
)

// LimitEntry is one [[limit]] of a line file: it stands in place of the limit that
// comes with the program for the same thing, or beside it.
type LimitEntry struct {
	Of      string  `toml:"of" need:"of = \"fridge\""`
	Product string  `toml:"product"`
	AtMost  float64 `toml:"at_most"`
	AtLeast float64 `toml:"at_least"`
	Unit    string  `toml:"unit" need:"unit = \"C\""`
	Source  string  `toml:"source" need:"fault.add-source"`
	Scope   string  `toml:"scope" need:"fault.add-scope"`
}

// limited is what a limit can be of, in the words of the file.
var limited = []struct {
	word string
	kind line.EntryKind
	use  line.Use
}{
	{"fridge", line.EntryFridge, ""},
	{"wash water", line.EntryStrength, line.UseWater},
	{"surface", line.EntryStrength, line.UseSurface},
	{"water test", line.EntryWaterTest, ""},
}

// limits checks what the file says about records.
func (c *checker) limits(file *LineFile) line.Limits {
	c.words("location", file.Location)
	c.number("keep_records_years", file.KeepYears, line.DefaultRetainYears, mostKeepYears, "fault.unit-years")
	out := line.Limits{Location: file.Location, RetainYears: file.KeepYears}
	if !c.fewEnough("limit", len(file.Limits), mostLimits) {
		return out
	}
	for i := range file.Limits {
		out.List = append(out.List, c.limit(fmt.Sprintf("limit[%d]", i), &file.Limits[i]))
	}
	return out
}

func (c *checker) limit(path string, e *LimitEntry) line.Limit {
	l := line.Limit{Product: e.Product, Bound: line.AtMost, Value: e.AtMost, Unit: line.Unit(e.Unit), Source: e.Source, Scope: e.Scope}
	value := path + ".at_most"
	if c.where.Has(path + ".at_least") {
		value = path + ".at_least"
		l.Bound, l.Value = line.AtLeast, e.AtLeast
		if c.where.Has(path + ".at_most") {
			c.fault(value, say.New("fault.there-most"), say.New("fault.give-each-limit"))
		}
	} else if c.missing(value) {
		c.fault(value, say.New("fault.missing"), say.New("fault.add-most"))
	}
	for key, text := range map[string]string{"product": e.Product, "source": e.Source, "scope": e.Scope} {
		c.words(path+"."+key, text)
	}
	words := make([]string, len(limited))
	for i := range limited {
		words[i] = limited[i].word
	}
	i := c.index(path+".of", e.Of, say.New("fault.unknown-reading"), words)
	if i < 0 {
		return l
	}
	l.Kind, l.Use = limited[i].kind, limited[i].use
	spec, _ := l.Kind.Spec()
	switch {
	case c.given(path+".unit") && !slices.Contains(spec.Units, l.Unit):
		units := make(say.Or, len(spec.Units))
		for k, u := range spec.Units {
			units[k] = fmt.Sprintf("%q", u)
		}
		c.fault(path+".unit", say.New("fault.not-read-in", e.Of), say.New("fault.write-or", units))
	case c.given(path + ".unit"):
		low, high := l.Unit.Bounds()
		c.number(value, l.Value, low, high, e.Unit)
	}
	return l
}

// words checks a line of text that may be left out.
func (c *checker) words(path, text string) {
	switch {
	case !c.given(path):
	case strings.TrimSpace(text) == "":
		c.fault(path, say.New("fault.empty"), say.New("fault.say-few"))
	case utf8.RuneCountInString(text) > longestWords:
		c.fault(path, say.New("fault.too-long"), say.New("fault.use-most-characters", longestWords))
	}
}
