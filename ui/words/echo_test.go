package words

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/say"
)

// undoName is an action's name in the code of package line: a format, or texts and
// values one after the other.
var undoName = regexp.MustCompile(`d\.undo = (?:fmt\.Sprintf\(("[^"]+")|(.+))`)

// formatOfName is the format that makes such a name.
func formatOfName(m []string) string {
	if m[1] != "" {
		return strings.Trim(m[1], `"`)
	}
	out := ""
	for _, part := range strings.Split(m[2], " + ") {
		if text, ok := strings.CutPrefix(part, `"`); ok {
			out += strings.TrimSuffix(text, `"`)
		} else {
			out += "%s"
		}
	}
	return out
}

// TestEveryUndoIsTranslated fails on an action whose name a language lacks.
func TestEveryUndoIsTranslated(t *testing.T) {
	spanish, err := New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("../../line/*.go")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, name := range files {
		code, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range undoName.FindAllStringSubmatch(string(code), -1) {
			found++
			if format := formatOfName(m); !spanish.Has("told." + format) {
				t.Errorf("%s: es lacks %q", name, format)
			}
		}
	}
	if found < 30 {
		t.Errorf("only %d names of actions found: the search is broken", found)
	}
}

// TestEveryLimitIsTranslated asks for what the published limits say of themselves.
func TestEveryLimitIsTranslated(t *testing.T) {
	spanish, err := New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range line.DefaultLimits() {
		if spanish.FromEnglish(l.Scope) == l.Scope {
			t.Errorf("es lacks %q", l.Scope)
		}
	}
}

// TestEcho says what records keep in English: with values in other places, several
// sentences, and text that nobody knows.
func TestEcho(t *testing.T) {
	spanish, err := New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	for english, want := range map[string]string{
		"start of tub, pea 1":      "comienzo de tub, pea 1",
		"start of tray-wash":       "comienzo de lavado de bandejas",
		"+0:15 on rack, pea 1":     "+0:15 en rack, pea 1",
		"recipe pea, revision 3":   "receta pea, revisión 3",
		"something else, untold":   "something else, untold",
		"Not now: there is no day": "Ahora no: there is no day",
		"Not now: rack a is out of use until it is mended. Switch off fans.": "Ahora no: rack a está fuera de uso hasta que se arregle. Apague fans.",
		"Nobody watched from 07:55:00 to 08:05:00. Say for each step that ran: go on, start again, or done.": "Nadie miró desde 07:55:00 hasta 08:05:00. " +
			"Diga de cada paso en marcha: seguir, empezar de nuevo o listo.",
		"New from the recipe file: pea, kale. Earlier revisions are kept.": "Nuevo del archivo de recetas: pea, kale. Las revisiones anteriores se conservan.",
		"pea 1 of 2026-12-03": "pea 1 del 2026-12-03",
		"":                    "",
	} {
		if got := spanish.FromEnglish(english); got != want {
			t.Errorf("%q: %q, want %q", english, got, want)
		}
		if got := English().FromEnglish(english); got != english {
			t.Errorf("in English %q became %q", english, got)
		}
	}
}

// TestARefusalEchoes: what the journal keeps of a refusal comes back as it was said.
func TestARefusalEchoes(t *testing.T) {
	spanish, err := New("es", say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	s := linetest.Open()
	for _, c := range []line.Command{line.CloseDay{}, line.Split{Batch: 2, Trays: 3}, line.Start{Batch: 99, To: line.Anywhere},
		line.SwitchOff{Load: linetest.Washer}, line.Finish{}, line.AddTrays{Demand: line.Demand{Crop: "kale", Trays: 2}}, line.UseAir{On: true}} {
		_, no := line.Decide(s, c, linetest.Morning.Add(time.Minute))
		if no == nil {
			t.Errorf("%T is not refused", c)
			continue
		}
		if got, want := spanish.FromEnglish(no.Error()), spanish.Refusal(no); got != want || !strings.HasPrefix(got, "Ahora no") {
			t.Errorf("%T:\n%q, said\n%q", c, got, want)
		}
	}
}
