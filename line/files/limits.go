package files

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"shedbell/line"
	"shedbell/line/chemical"
	"shedbell/line/say"
	"shedbell/recipes/strictfile"
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
	if c.fewEnough("sanitizer", len(file.Sanitizers), mostSanitizers) {
		seen := map[string]bool{}
		for i := range file.Sanitizers {
			path := fmt.Sprintf("sanitizer[%d]", i)
			s := c.sanitizer(path, &file.Sanitizers[i])
			if name := strings.ToLower(s.Name); seen[name] {
				c.fault(path+".name", say.New("fault.there-twice-but"), say.New("fault.give-each"))
			} else {
				seen[name] = true
			}
			out.Sanitizers = append(out.Sanitizers, s)
		}
	}
	return out
}

// SanitizerEntry is one [[sanitizer]] of a line file: a product as its label has it.
type SanitizerEntry struct {
	Name     string              `toml:"name" need:"name = \"the name on the label\""`
	Holds    string              `toml:"holds" need:"holds = \"hydrogen-peroxide\""`
	Strength float64             `toml:"strength_percent"`
	Use      []string            `toml:"use" need:"use = [\"surface\"]"`
	Least    float64             `toml:"least_ppm"`
	Most     float64             `toml:"most_ppm"`
	Contact  strictfile.Duration `toml:"contact"`
	Expires  string              `toml:"expires"`
}

const (
	mostSanitizers = 20
	mostPPM        = 1e6
)

// sanitizer checks a product. What is in it has to be known by some name, or be said to be
// something else, so that no limit is lost by a slip.
func (c *checker) sanitizer(path string, e *SanitizerEntry) line.Sanitizer {
	s := line.Sanitizer{Name: e.Name, Holds: chemical.In(e.Holds), StockPPM: e.Strength * 1e4, LeastPPM: e.Least, MostPPM: e.Most,
		Contact: time.Duration(e.Contact), Expires: e.Expires}
	c.words(path+".name", e.Name)
	if c.given(path+".holds") && s.Holds == chemical.Unknown && e.Holds != "other" {
		ids := make(say.Or, len(chemical.Known), len(chemical.Known)+1)
		for i := range chemical.Known {
			ids[i] = fmt.Sprintf("%q", chemical.Known[i].ID)
		}
		c.fault(path+".holds", say.New("fault.unknown-chemical"), say.New("fault.write-or", append(ids, `"other"`)))
	}
	for i, use := range e.Use {
		at := fmt.Sprintf("%s.use[%d]", path, i)
		switch k := c.index(at, use, say.New("fault.unknown-use"), []string{"surface", "wash water"}); k {
		case 0:
			s.Uses = append(s.Uses, line.UseSurface)
		case 1:
			s.Uses = append(s.Uses, line.UseWater)
		}
	}
	c.number(path+".strength_percent", e.Strength, 0.001, 100, "")
	c.number(path+".least_ppm", e.Least, 0.1, mostPPM, "ppm")
	c.number(path+".most_ppm", e.Most, 0.1, mostPPM, "ppm")
	if e.Most > 0 && e.Least > e.Most {
		c.fault(path+".least_ppm", say.New("fault.more-than-most"), say.New("fault.as-label"))
	}
	if c.given(path+".contact") && (s.Contact < time.Second || s.Contact > line.MaxCountdown) {
		c.fault(path+".contact", say.New("fault.contact-time"), say.New("fault.as-label"))
	}
	if _, err := time.Parse(time.DateOnly, e.Expires); e.Expires != "" && err != nil {
		c.fault(path+".expires", say.New("fault.no-date"), say.New("fault.write-date"))
	}
	return s
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
