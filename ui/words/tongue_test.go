package words

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/quick"
)

var verb = regexp.MustCompile(`%(?:\[(\d+)\])?[-+# 0-9.]*[a-zA-Z]`)

// verbs lists what a text fills in, in the order of its values.
func verbs(text string) []string {
	var out []string
	for i, m := range verb.FindAllStringSubmatch(strings.ReplaceAll(text, "%%", ""), -1) {
		at := i + 1
		if m[1] != "" {
			at = int(m[1][0] - '0')
		}
		out = append(out, string(rune('0'+at))+m[0][len(m[0])-1:])
	}
	slices.Sort(out)
	return out
}

// TestEveryLanguageIsComplete fails on a key that one language has and another
// lacks, on a text that is empty, and on values that differ.
func TestEveryLanguageIsComplete(t *testing.T) {
	english := English()
	for _, name := range Tongues() {
		other, err := NewTongue(name)
		if err != nil {
			t.Fatal(err)
		}
		for key, text := range english.texts {
			translated, ok := other.texts[key]
			switch {
			case !ok:
				t.Errorf("%s lacks %s", name, key)
			case strings.TrimSpace(translated) == "":
				t.Errorf("%s has nothing for %s", name, key)
			case !slices.Equal(verbs(text), verbs(translated)):
				t.Errorf("%s fills %v into %s, English %v", name, verbs(translated), key, verbs(text))
			}
		}
		for key := range other.texts {
			if !english.Has(key) {
				t.Errorf("%s has %s, which English lacks", name, key)
			}
		}
	}
}

var said = regexp.MustCompile(`\.Say\("([a-z0-9.-]+)"`)

// TestEveryTextIsThere looks through the screens' code for keys that are said.
func TestEveryTextIsThere(t *testing.T) {
	english := English()
	err := filepath.WalkDir("..", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		data, err := os.ReadFile(path)
		for _, m := range said.FindAllSubmatch(data, -1) {
			if key := string(m[1]); !strings.HasSuffix(key, ".") && !strings.HasSuffix(key, "-") && !english.Has(key) {
				t.Errorf("%s says %s, which is in no language", path, key)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestUnknownLanguage(t *testing.T) {
	if _, err := NewTongue("xx"); err == nil || !strings.Contains(err.Error(), "en, es") {
		t.Errorf("error is %v", err)
	}
}

func TestAMissingKeyShowsAsItself(t *testing.T) {
	english := English()
	if err := quick.Check(func(key string) bool { return english.Has(key) || english.Say(key) == key }, nil); err != nil {
		t.Error(err)
	}
}

// TestEveryPromptHasALesson asks for every lesson that a prompt can need.
func TestEveryPromptHasALesson(t *testing.T) {
	english := English()
	for _, key := range []string{"cut", "wash", "spin", "dry", "pack", "tray-wash", "sanitize", "sow", "water"} {
		for _, end := range []string{"", "-end"} {
			for _, part := range []string{".where", ".how", ".right", ".never"} {
				if !english.Has("train-" + key + end + part) {
					t.Errorf("no text for %s%s%s", key, end, part)
				}
			}
		}
	}
	for key := range lessonDangers {
		if !english.Has(key + ".how") {
			t.Errorf("dangers of %s, which is no lesson", key)
		}
	}
}
