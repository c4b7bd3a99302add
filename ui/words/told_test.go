package words

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"shedbell/line/records"
	"shedbell/line/say"
)

// reportText are the texts without values that the reports have in their code: heads
// of columns with their units.
var reportText = []*regexp.Regexp{
	regexp.MustCompile(`\b(?:text|num)\("[^"]*", ("[^"]+")(?:, ("[^"]+"))?\)`),
}

// sameInBoth are heads and units that are written the same in both languages.
var sameInBoth = map[string]bool{"min": true, "g": true, "h": true, "%": true}

// TestEveryHeadOfAReportIsTranslated asks for what stands over the figures that the
// records' screen shows of reports.
func TestEveryHeadOfAReportIsTranslated(t *testing.T) {
	spanish, err := New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	texts := map[string]bool{}
	files, err := filepath.Glob("../../line/records/report/*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		code, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, pattern := range reportText {
			for _, m := range pattern.FindAllStringSubmatch(string(code), -1) {
				for _, quoted := range m[1:] {
					if text, err := strconv.Unquote(quoted); err == nil {
						texts[text] = true
					}
				}
			}
		}
	}
	if len(texts) < 60 {
		t.Errorf("only %d heads found: the search is broken", len(texts))
	}
	for s := records.HandsOn; s <= records.Free; s++ {
		texts[s.String()] = true
	}
	for _, m := range records.Metrics() {
		texts[m.Unit] = true
	}
	for text := range texts {
		if !sameInBoth[text] && !spanish.Has("told."+text) && !spanish.Has("said."+text) {
			t.Errorf("es lacks %q", text)
		}
	}
}
