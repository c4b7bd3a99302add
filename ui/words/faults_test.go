package words

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line/files"
	"shedbell/line/linetest"
	"shedbell/line/say"
	"shedbell/recipes"
	"shedbell/recipes/strictfile"
)

// Every fault of the bad files, and every text that the readers of files have in their
// code, is said in the reader's language.
func TestEveryFaultIsTranslated(t *testing.T) {
	spanish, err := New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	bad, err := filepath.Glob("../../testdata/bad_*.toml")
	if err != nil || len(bad) < 5 {
		t.Fatalf("bad files %v, %v", bad, err)
	}
	for _, name := range bad {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var faults []strictfile.Fault
		if strings.HasPrefix(filepath.Base(name), "bad_line") {
			_, faults = files.ReadLine(name, data)
		} else {
			_, faults = files.ReadDay(time.UTC, name, data, linetest.Site(), linetest.Book())
		}
		if len(faults) == 0 {
			t.Errorf("%s has no faults", name)
		}
		for _, f := range faults {
			for _, text := range []string{f.Problem, f.Mend} {
				if text != "" && spanish.FromEnglish(text) == text {
					t.Errorf("%s: %q stays as it is", filepath.Base(name), text)
				}
			}
		}
	}
	for _, f := range (recipes.Recipe{}).Validate() {
		for _, text := range []string{f.Problem, f.Mend} {
			if spanish.FromEnglish(text) == text {
				t.Errorf("a recipe: %q stays as it is", text)
			}
		}
	}
}
