package words

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/quick"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
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
			if _, ok := fromEnglish(key); !ok && !english.Has(key) {
				t.Errorf("%s has %s, which English lacks", name, key)
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
	err := filepath.WalkDir("..", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		data, err := os.ReadFile(path)
		for _, m := range literal.FindAllSubmatch(data, -1) {
			out[string(m[1])] = path
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// built are the beginnings of keys that the code puts together.
var built = []string{
	"aspect.",
	"metric.",
	"plan-task.",
	"setting.",
	"recipes-setting.",
	"recipes-step.",
	"backlog-effect.",
	"backlog-usual.",
	"backlog.",
	"caution-full.",
	"caution.",
	"chore-short.",
	"chore.",
	"cleanup-mix.",
	"cleanup-state.",
	"cleanup-step.",
	"cleanup-surface.",
	"date.",
	"entry.",
	"help.about-",
	"key.",
	"kind.",
	"language.",
	"mistake-next.",
	"mistake-why.",
	"mistake.",
	"screen.",
	"setup-",
	"setup-file.",
	"setup-keys.",
	"short.",
	"slot.",
	"state-means.",
	"state.",
	"theme.",
	"train-",
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
		file := strings.HasSuffix(key, ".toml") || strings.HasSuffix(key, ".csv")
		if tables[table] && !file && !english.Has(key) && !slices.Contains(built, key) {
			t.Errorf("%s says %s, which is in no language", path, key)
		}
	}
}

// TestEveryTextIsSaid fails on a text that the code has no use for.
func TestEveryTextIsSaid(t *testing.T) {
	keys := mentioned(t)
	for key := range English().texts {
		if keys[key] == "" && !isBuilt(key) {
			t.Errorf("no code says %s", key)
		}
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

// TestEveryMistakeIsExplained asks for what, why and what next of every mistake that
// a practice day can find.
func TestEveryMistakeIsExplained(t *testing.T) {
	s := linetest.Open()
	prompt := &line.Prompts(s, linetest.Morning, nil)[0]
	for _, name := range Tongues() {
		tongue, err := NewTongue(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range []records.Mistake{
			{Kind: records.MistakeEarly, Batch: "pea 1", Station: line.Wash, Amount: time.Minute},
			{Kind: records.MistakeEarly, Batch: "pea 1", Station: line.Spin, Amount: time.Minute},
			{Kind: records.MistakeEarly, Batch: "pea 1", Station: line.Dry, Amount: time.Minute},
			{Kind: records.MistakeLate, Where: "sanitizing", Amount: time.Minute},
			{Kind: records.MistakeWet, Batch: "pea 1", Amount: time.Minute, Limit: time.Second},
			{Kind: records.MistakeOrder, Prompt: prompt, State: s},
			{Kind: records.MistakeRefused, Text: "Not now: a reason."},
		} {
			said := tongue.Mistake(&m, nil)
			for _, text := range []string{said.What, said.Why, said.Next} {
				if text == "" || strings.HasPrefix(text, "mistake") || strings.Contains(text, "%!") || strings.Contains(text, "Not now") {
					t.Errorf("%s, kind %d: %q", name, m.Kind, text)
				}
			}
		}
	}
}
