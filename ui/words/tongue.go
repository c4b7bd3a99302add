package words

import (
	"embed"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"

	"github.com/pelletier/go-toml/v2"
)

//go:embed lang/*/*.toml
var langFiles embed.FS

// Tongue is a language that people read: every text by its key. The keys, and what
// is filled into each text, are the same in all of them; a test sees to that.
type Tongue struct {
	Name  string // ISO 639-1: "en", "es"
	texts map[string]string

	learn  sync.Once
	echoes []echo
}

// Tongues lists the languages that there are: the folders under lang.
func Tongues() []string {
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

// NewTongue loads a language, which has a file for each part of the program.
func NewTongue(name string) (*Tongue, error) {
	if !slices.Contains(Tongues(), name) {
		return nil, fmt.Errorf("there is no language %q. Choose one of %s", name, strings.Join(Tongues(), ", "))
	}
	t := &Tongue{Name: name, texts: map[string]string{}}
	files, err := fs.Glob(langFiles, "lang/"+name+"/*.toml")
	if err != nil {
		return nil, err
	}
	for _, file := range files {
		if err := t.read(file); err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
	}
	return t, nil
}

// read takes the texts of one file in. No two texts share a key.
func (t *Tongue) read(file string) error {
	data, err := langFiles.ReadFile(file)
	if err != nil {
		return err
	}
	var tables map[string]map[string]string
	if err := toml.Unmarshal(data, &tables); err != nil {
		return err
	}
	for table, texts := range tables {
		for key, text := range texts {
			full := table + "." + key
			if t.Has(full) {
				return fmt.Errorf("%s is in another file too", full)
			}
			t.texts[full] = text
		}
	}
	return nil
}

// English is the language when nothing else is chosen.
func English() *Tongue {
	t, err := NewTongue("en")
	if err != nil {
		panic(err) // embedded, and a test reads it
	}
	return t
}

// Say is a text with its values filled in. A key that is missing shows as itself,
// which is better than a blank on a screen that somebody depends on.
func (t *Tongue) Say(key string, args ...any) string {
	text, ok := t.texts[key]
	if !ok {
		return key
	}
	if len(args) == 0 {
		return text
	}
	return fmt.Sprintf(text, args...)
}

// Has says whether there is a text for a key.
func (t *Tongue) Has(key string) bool {
	_, ok := t.texts[key]
	return ok
}
