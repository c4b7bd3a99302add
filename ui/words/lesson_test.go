package words

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
	"shedbell/line/say"
)

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
	for _, name := range say.Languages() {
		speaker, err := New(name, say.Prefs{})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range []records.Mistake{
			{Kind: records.MistakeEarly, Batch: "pea 1", Station: line.Wash, Amount: time.Minute},
			{Kind: records.MistakeEarly, Batch: "pea 1", Station: line.Spin, Amount: time.Minute},
			{Kind: records.MistakeEarly, Batch: "pea 1", Station: line.Dry, Amount: time.Minute},
			{Kind: records.MistakeHasty, Batch: "pea 1", Where: "cutting table", Amount: 2 * time.Second},
			{Kind: records.MistakeLate, Where: "sanitizing", Amount: time.Minute},
			{Kind: records.MistakeWet, Batch: "pea 1", Amount: time.Minute, Limit: time.Second},
			{Kind: records.MistakeOrder, Prompt: prompt, State: s},
			{Kind: records.MistakeRefused, Says: line.Refused{Text: "Not now: a reason."}.Reason()},
		} {
			said := speaker.Mistake(&m)
			for _, text := range []string{said.What, said.Why, said.Next} {
				if text == "" || strings.HasPrefix(text, "mistake") || strings.Contains(text, "%!") || strings.Contains(text, "Not now") {
					t.Errorf("%s, kind %d: %q", name, m.Kind, text)
				}
			}
		}
	}
}
