package say

import (
	"embed"
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"sync"

	"github.com/pelletier/go-toml/v2"
	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
)

//go:embed lang/*/*.toml
var langFiles embed.FS

// catalogue has the texts of a language by their identifiers. Which there are, and
// what is filled into each, is the same in all languages; a test sees to that.
type catalogue struct {
	language string
	tag      language.Tag
	texts    map[string]text

	learn  sync.Once
	echoes []echo
}

// text is one text, or one for each plural form of the language.
type text struct {
	other format
	forms map[plural.Form]format
}

// format is a text for package fmt, and how many values it takes.
type format struct {
	format  string
	takes   int
	percent bool // it has a percent sign, written twice
}

// verb is a verb of package fmt, or a percent sign.
var verb = regexp.MustCompile(`%([-+# 0-9.]*)(?:\[(\d)\])?[-+# 0-9.]*([a-zA-Z%])`)

func newFormat(s string) format {
	f := format{format: s}
	next := 1
	for _, m := range verb.FindAllStringSubmatch(s, -1) {
		if m[3] == "%" {
			f.percent = true
			continue
		}
		if m[2] != "" {
			next = int(m[2][0] - '0')
		}
		f.takes = max(f.takes, next)
		next++
	}
	return f
}

// Languages lists those that there are: the folders under lang.
func Languages() []string {
	var out []string
	entries, err := fs.ReadDir(langFiles, "lang")
	if err != nil {
		panic(err) // embedded, so it is there
	}
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

var (
	loading sync.Mutex
	loaded  = map[string]*catalogue{}
)

// load reads a language, which has a file for each part of the program.
func load(name string) (*catalogue, error) {
	loading.Lock()
	defer loading.Unlock()
	if c := loaded[name]; c != nil {
		return c, nil
	}
	if !slices.Contains(Languages(), name) {
		return nil, fmt.Errorf("there is no language %q. Choose one of %s", name, strings.Join(Languages(), ", "))
	}
	c := &catalogue{language: name, tag: language.Make(name), texts: map[string]text{}}
	files, err := fs.Glob(langFiles, "lang/"+name+"/*.toml")
	if err != nil {
		return nil, err
	}
	for _, file := range files {
		data, err := langFiles.ReadFile(file)
		if err != nil {
			return nil, err
		}
		if err := c.read(data); err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
	}
	loaded[name] = c
	return c, nil
}

// read takes the texts of a file in. No two texts share an identifier.
func (c *catalogue) read(data []byte) error {
	var tables map[string]map[string]any
	if err := toml.Unmarshal(data, &tables); err != nil {
		return err
	}
	for table, texts := range tables {
		for key, x := range texts {
			id := table + "." + key
			if c.Has(id) {
				return fmt.Errorf("%s is in another file too", id)
			}
			t, err := newText(x)
			if err != nil {
				return fmt.Errorf("%s %w", id, err)
			}
			c.texts[id] = t
		}
	}
	return nil
}

var forms = map[string]plural.Form{"zero": plural.Zero, "one": plural.One, "two": plural.Two, "few": plural.Few, "many": plural.Many}

func newText(x any) (text, error) {
	switch x := x.(type) {
	case string:
		return text{other: newFormat(x)}, nil
	case map[string]any:
		t := text{forms: map[plural.Form]format{}}
		for name, s := range x {
			s, ok := s.(string)
			form, known := forms[name]
			switch {
			case ok && name == "other":
				t.other = newFormat(s)
			case ok && known:
				t.forms[form] = newFormat(s)
			default:
				return t, fmt.Errorf("has %q, which is no plural form", name)
			}
		}
		if t.other.format == "" {
			return t, fmt.Errorf(`lacks the form "other"`)
		}
		return t, nil
	}
	return text{}, fmt.Errorf("is no text")
}

// plural is the form for a count, by the rules of the Unicode CLDR.
func (c *catalogue) plural(n int) plural.Form {
	return plural.Cardinal.MatchPlural(c.tag, max(n, -n), 0, 0, 0, 0)
}

// Has says whether there is a text.
func (c *catalogue) Has(id string) bool {
	_, ok := c.texts[id]
	return ok
}

// Map is the speaker with each of its texts put through f, which gets what is between
// the values. For tests: a text that is left as it was did not come from here.
func (s *Speaker) Map(f func(string) string) *Speaker {
	c := &catalogue{language: s.language, tag: s.tag, texts: map[string]text{}}
	mapped := func(x format) format {
		out, at := "", 0
		for _, m := range verb.FindAllStringIndex(x.format, -1) {
			out += f(x.format[at:m[0]]) + x.format[m[0]:m[1]]
			at = m[1]
		}
		return newFormat(out + f(x.format[at:]))
	}
	for id, t := range s.texts {
		to := text{other: mapped(t.other), forms: map[plural.Form]format{}}
		for form, x := range t.forms {
			to.forms[form] = mapped(x)
		}
		c.texts[id] = to
	}
	return &Speaker{c, s.prefs}
}
