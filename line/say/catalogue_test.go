package say

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/quick"
)

func speak(t *testing.T, language string) *Speaker {
	t.Helper()
	s, err := NewSpeaker(language, Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// verbs lists what a text fills in, in the order of its values: "1.1f 2s".
func verbs(text string) []string {
	var out []string
	next := 1
	for _, m := range verb.FindAllStringSubmatch(text, -1) {
		if m[3] == "%" {
			continue
		}
		if m[2] != "" {
			next = int(m[2][0] - '0')
		}
		out = append(out, strconv.Itoa(next)+m[1]+m[3])
		next++
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// all are a text's forms, the usual one first.
func (t text) all() []string {
	out := []string{t.other.format}
	for _, f := range t.forms {
		out = append(out, f.format)
	}
	return out
}

// TestEveryLanguageIsComplete fails on a key that one language has and another
// lacks, on a text that is empty, and on values that differ.
func TestEveryLanguageIsComplete(t *testing.T) {
	english := English()
	for _, name := range Languages() {
		other := speak(t, name)
		for id, text := range english.texts {
			translated, ok := other.texts[id]
			if !ok {
				t.Errorf("%s lacks %s", name, id)
				continue
			}
			want := verbs(text.other.format)
			for i, form := range translated.all() {
				switch got := verbs(form); {
				case strings.TrimSpace(form) == "":
					t.Errorf("%s has nothing for %s", name, id)
				case i == 0 && !slices.Equal(got, want):
					t.Errorf("%s fills %v into %s, English %v", name, got, id, want)
				case slices.ContainsFunc(got, func(v string) bool { return !slices.Contains(want, v) }):
					t.Errorf("%s fills %v into a form of %s, and %v into the usual one", name, got, id, want)
				}
			}
		}
		for id := range other.texts {
			if !english.Has(id) {
				t.Errorf("%s has %s, which English lacks", name, id)
			}
		}
	}
}

// literal is a string of the code that looks like the key of a text, or like the
// beginning of one that is put together.
var literal = regexp.MustCompile(`"([a-z][a-z-]*\.[a-z0-9-]*(?:\.[a-z0-9-]+)*)"`)

// mentioned lists what the code, without its tests, has of such strings, each with
// the file that it is in.
func mentioned(t *testing.T) map[string]string {
	out := map[string]string{}
	eachFile(t, func(path string, code []byte) {
		for _, m := range literal.FindAllSubmatch(code, -1) {
			out[string(m[1])] = path
		}
	})
	return out
}

// eachFile reads the code, without its tests.
func eachFile(t *testing.T, fn func(path string, code []byte)) {
	t.Helper()
	err := filepath.WalkDir("../..", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		code, err := os.ReadFile(path)
		fn(path, code)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// built are the beginnings of keys that the code puts together.
var built = []string{
	"aspect.",
	"metric.",
	"export-table.",
	"plan-task.",
	"setting.",
	"recipes-setting.",
	"recipes-step.",
	"backlog-effect.",
	"backlog-usual.",
	"backlog.",
	"by-hand-next.",
	"by-hand.",
	"caution-full.",
	"caution.",
	"caption.",
	"first.",
	"chore-short.",
	"chore.",
	"cleanup-mix.",
	"cleanup-state.",
	"cleanup-step.",
	"cleanup-surface.",
	"date.",
	"entry.",
	"entry-kind.",
	"help.about-",
	"key.",
	"kind.",
	"language.",
	"limit-scope.",
	"limit-source.",
	"mistake-next.",
	"practice.again-",
	"name.",
	"mistake-why.",
	"mistake.",
	"rule-source.",
	"rule-source-iec.",
	"screen.",
	"setup-",
	"share.",
	"setup-file.",
	"setup-keys.",
	"short.",
	"slot.",
	"source.",
	"state-means.",
	"station-short.",
	"step.",
	"tasting.",
	"state.",
	"theme.",
	"train-",
	"argument.",
	"holder.",
	"usage.",
	"pace-other.",
	"vessel.",
	"report-part.by-",
	"use-",
	"use.",
}

func isBuilt(key string) bool {
	return slices.ContainsFunc(built, func(prefix string) bool { return strings.HasPrefix(key, prefix) })
}

// TestEveryTextIsThere looks through the code for keys that no language has: what
// begins with the name of a table is meant as a key of it.
func TestEveryTextIsThere(t *testing.T) {
	english := English()
	tables := map[string]bool{}
	for key := range english.texts {
		table, _, _ := strings.Cut(key, ".")
		tables[table] = true
	}
	for key, path := range mentioned(t) {
		table, _, _ := strings.Cut(key, ".")
		file := strings.Contains(key, ".toml") || strings.HasSuffix(key, ".csv")
		if tables[table] && !file && !english.Has(key) && !strings.HasSuffix(key, ".") && !slices.Contains(built, key) {
			t.Errorf("%s says %s, which is in no language", path, key)
		}
	}
}

// TestEveryTextIsSaid fails on a text that neither the code nor an earlier record has a
// use for.
func TestEveryTextIsSaid(t *testing.T) {
	keys := mentioned(t)
	for _, id := range oldTexts() {
		id, _, _ = strings.Cut(id, "#")
		keys[id] = "old.toml"
	}
	for key := range English().texts {
		if keys[key] == "" && !isBuilt(key) {
			t.Errorf("no code says %s", key)
		}
	}
}

func TestUnknownLanguage(t *testing.T) {
	if _, err := NewSpeaker("xx", Prefs{}); err == nil || !strings.Contains(err.Error(), "en, es") {
		t.Errorf("error is %v", err)
	}
}

func TestAMissingKeyShowsAsItself(t *testing.T) {
	english := English()
	if err := quick.Check(func(key string) bool { return english.Has(key) || english.Say(key) == key }, nil); err != nil {
		t.Error(err)
	}
}

// TestABatchIsATandaAndALotALote keeps the two apart, which one word could mean.
func TestABatchIsATandaAndALotALote(t *testing.T) {
	spanish := speak(t, "es")
	english := English()
	for _, term := range []struct{ english, spanish *regexp.Regexp }{
		{regexp.MustCompile(`(?i)\bbatch`), regexp.MustCompile(`(?i)\btandas?\b`)},
		{regexp.MustCompile(`(?i)\blots?\b`), regexp.MustCompile(`(?i)\blotes?\b`)},
	} {
		for key, text := range spanish.texts {
			of := english.texts[key].other.format
			if said := text.other.format; term.english.MatchString(of) != term.spanish.MatchString(said) {
				t.Errorf("%s: %q is said %q", key, of, said)
			}
		}
	}
}
