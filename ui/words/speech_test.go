package words

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/live"
	"shedbell/line/plan"
	"shedbell/power"
)

// sentences lists the formats that packages line, power and recipes say, from their code.
func sentences(t *testing.T) map[string]bool {
	t.Helper()
	out := map[string]bool{}
	for _, dir := range []string{"../../power", "../serve", "../../recipes", "../../line", "../../line/live", "../../line/plan", "../../line/rehearse", "../../line/records",
		"../../line/records/report"} {
		files, err := filepath.Glob(dir + "/*.go")
		if err != nil || len(files) == 0 {
			t.Fatalf("no code in %s: %v", dir, err)
		}
		for _, name := range files {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			code, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			file, err := parser.ParseFile(token.NewFileSet(), name, code, 0)
			if err != nil {
				t.Fatal(err)
			}
			ast.Inspect(file, func(n ast.Node) bool {
				if call, ok := n.(*ast.CallExpr); ok {
					if format, ok := formatOf(call); ok {
						out[format] = true
					}
				}
				return true
			})
		}
	}
	return out
}

// formatOf is the format of a sentence that a call makes.
func formatOf(call *ast.CallExpr) (string, bool) {
	at := -1
	switch f := call.Fun.(type) {
	case *ast.Ident:
		at = map[string]int{"refuse": 1, "Say": 0}[f.Name]
		if f.Name != "refuse" && f.Name != "Say" {
			return "", false
		}
	case *ast.SelectorExpr:
		if from, ok := f.X.(*ast.Ident); !ok || from.Name != "power" || f.Sel.Name != "Say" {
			return "", false
		}
		at = 0
	default:
		return "", false
	}
	if at >= len(call.Args) {
		return "", false
	}
	text, ok := call.Args[at].(*ast.BasicLit)
	if !ok {
		return "", false
	}
	format, err := strconv.Unquote(text.Value)
	return format, err == nil
}

// TestEverySentenceIsTranslated fails on a sentence of the line or the interlock
// that a language lacks, on one that nobody says any more, and on other values.
func TestEverySentenceIsTranslated(t *testing.T) {
	all := sentences(t)
	if len(all) < 150 {
		t.Fatalf("only %d sentences found: the search is broken", len(all))
	}
	spanish, err := NewTongue("es")
	if err != nil {
		t.Fatal(err)
	}
	for format := range all {
		translated, ok := spanish.texts[sentenceTable+format]
		switch {
		case strings.Trim(verb.ReplaceAllString(format, ""), " .") == "":
			// only values
		case !ok:
			t.Errorf("es lacks %q", format)
		case !slices.Equal(verbs(format), verbs(translated)):
			t.Errorf("es fills other values into %q", format)
		}
	}
	for key := range spanish.texts {
		format, ok := strings.CutPrefix(key, sentenceTable)
		if ok && strings.Contains(format, "%") && !all[format] {
			t.Errorf("nobody says %q", format)
		}
	}
}

// TestEveryWordOfASentenceIsTranslated asks for the names that stand in sentences.
func TestEveryWordOfASentenceIsTranslated(t *testing.T) {
	spanish, err := NewTongue("es")
	if err != nil {
		t.Fatal(err)
	}
	words := []string{" and ", string(line.EffectAnnoys), string(line.EffectSlow), string(line.EffectOut), string(line.UseWater), string(line.UseSurface)}
	for _, k := range line.Kinds() {
		words = append(words, k.String())
	}
	for _, spec := range line.EntrySpecs() {
		words = append(words, string(spec.Kind))
	}
	for c := line.WashTrays; c.String() != "unknown"; c++ {
		words = append(words, c.String())
	}
	for _, w := range words {
		if !spanish.Has(sentenceTable + w) {
			t.Errorf("es lacks the word %q", w)
		}
	}
}

// TestARefusalIsSaidInEveryLanguage asks the interlock and the line, with names that
// stand in for themselves.
func TestARefusalIsSaidInEveryLanguage(t *testing.T) {
	spanish, err := NewTongue("es")
	if err != nil {
		t.Fatal(err)
	}
	s := line.NewState(linetest.Site(), linetest.Book())
	_, no := line.Decide(s, line.AddTrays{}, linetest.Morning)
	if no == nil || spanish.Refusal(no) != "Ahora no: no hay día abierto." || English().Refusal(no) != no.Error() {
		t.Errorf("the refusal is %v, %q in Spanish", no, spanish.Refusal(no))
	}
	p := &power.Panel{VoltageV: 120,
		Circuits: []power.Circuit{{Name: "pared", RatingA: 15, Breaker: power.UL489}},
		Loads: []power.Load{
			{Name: "bomba", Settings: []power.Setting{{Name: "1", AmpsA: 8}}},
			{Name: "luz", Settings: []power.Setting{{Name: "1", AmpsA: 4}}},
			{Name: "horno", Settings: []power.Setting{{Name: "1", AmpsA: 14}}},
		}}
	st := power.NewState(p)
	for i := range 2 {
		st = st.Switched(p, i, power.Status{On: true, Since: linetest.Morning}, linetest.Morning)
	}
	v := p.Judge(st, power.Ask{Load: 2, For: time.Minute}, linetest.Morning)
	const want = `Ahora no: "pared" llevaría 26.0 de 15 A: 12.0 A ahora más 14.0 A.`
	if got := spanish.Speech(v.Says()); !strings.HasPrefix(got, want) || !strings.Contains(got, "Apague bomba y luz") {
		t.Errorf("the interlock says %q", got)
	}
	if got := English().Speech(v.Says()); got != v.Says().String() {
		t.Errorf("English differs: %q", got)
	}
}

// TestAProblemIsSaid: an error that has its values apart is said with them, also
// where another wraps it; one that has not, by what is known of its English.
func TestAProblemIsSaid(t *testing.T) {
	spanish, err := NewTongue("es")
	if err != nil {
		t.Fatal(err)
	}
	for want, problem := range map[string]error{
		"este día no se puede hacer: pea no tiene receta; no hay día abierto, así que no hay nada que planear": fmt.Errorf("so: %w",
			&plan.Impossible{Demands: []power.Sentence{power.Say("%s has no recipe", "pea"), power.Say("no day is open, so there is nothing to plan")}}),
		"esta pantalla es solo para mirar": live.ErrMayNotAct,
		"nothing known":                    errors.New("nothing known"),
	} {
		if got := spanish.Problem(problem); got != want {
			t.Errorf("%v: %q, want %q", problem, got, want)
		}
	}
}

// TestABatchIsATandaAndALotALote keeps the two apart, which one word could mean.
func TestABatchIsATandaAndALotALote(t *testing.T) {
	spanish, err := NewTongue("es")
	if err != nil {
		t.Fatal(err)
	}
	english := English()
	for _, term := range []struct{ english, spanish *regexp.Regexp }{
		{regexp.MustCompile(`(?i)\bbatch`), regexp.MustCompile(`(?i)\btandas?\b`)},
		{regexp.MustCompile(`(?i)\blots?\b`), regexp.MustCompile(`(?i)\blotes?\b`)},
	} {
		for key, text := range spanish.texts {
			of, ok := fromEnglish(key)
			if !ok {
				of = english.texts[key]
			}
			if term.english.MatchString(of) != term.spanish.MatchString(text) {
				t.Errorf("%s: %q is said %q", key, of, text)
			}
		}
	}
}
