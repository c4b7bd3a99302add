package line_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/recipes"
)

func TestReviseSaysEverythingThatIsWrong(t *testing.T) {
	sh := openShed(t)
	r, _ := sh.s.Recipe("pea")
	r.Soak, r.SanitizerContact, r.Dry = 30*time.Second, 2*time.Minute, -1
	no := sh.refused(line.Revise{Recipe: r}, line.RuleValue)
	for _, part := range []string{"soak", "sanitizer", "dry", "by is missing", "why is missing"} {
		if !strings.Contains(no.Error(), part) {
			t.Errorf("%q does not say %q", no.Error(), part)
		}
	}
}

func TestGoBackIsANewRevision(t *testing.T) {
	sh := openShed(t)
	r, _ := sh.s.Recipe("pea")
	first := r.WithDefaults()
	r.Dry, r.By, r.Why, r.Batches = 20*time.Minute, "Ash", "too wet", []string{"pea 1 of 2026-12-03"}
	sh.do(line.Revise{Recipe: r})
	sh.refused(line.GoBack{Crop: "pea", Revision: 9, By: "Ash", Why: "x"}, line.RuleValue)
	sh.do(line.GoBack{Crop: "pea", Revision: 1, By: "Ash", Why: "too dry"})
	got, _ := sh.s.Recipe("pea")
	if got.Revision != 3 || got.BackFrom != 1 || len(recipes.Compare(first, got)) > 0 || !got.At.Equal(sh.now) {
		t.Errorf("%+v", got)
	}
	if second := sh.s.Book.History("pea")[1]; second.Dry != 20*time.Minute || !slices.Equal(second.Batches, r.Batches) {
		t.Errorf("the history lost %+v", second)
	}
}

// fileOf is what a recipe file would say: the book's first revisions.
func fileOf(s *line.State) []recipes.Recipe {
	var out []recipes.Recipe
	for _, crop := range s.Book.Crops() {
		r, _ := s.Book.Revision(crop, 1)
		out = append(out, r.WithDefaults())
	}
	return out
}

func TestKeptFileNeverUndoesTheBoard(t *testing.T) {
	sh := openShed(t)
	file := fileOf(sh.s)
	first := line.FirstRecord(sh.s.Site, recipes.NewBook(file...))
	sh.s = line.Apply(sh.s, line.Record{Seq: sh.s.Seq + 1, At: sh.now, Event: first})
	sh.refused(line.ImportRecipes{Recipes: file, Kept: true}, line.RuleNothing)

	r, _ := sh.s.Recipe("pea")
	r.Dry, r.By, r.Why = 20*time.Minute, "Ash", "too wet"
	sh.do(line.Revise{Recipe: r})
	sh.refused(line.ImportRecipes{Recipes: file, Kept: true}, line.RuleNothing) // the file says what it said

	file[1].Spin = 5 * time.Minute // radish
	kale := file[0]
	kale.Crop = "kale"
	file = append(file, kale)
	sh.do(line.ImportRecipes{Recipes: file, Kept: true})
	for crop, want := range map[string]int{"pea": 2, "radish": 2, "sunflower": 1, "kale": 1} {
		if got, _ := sh.s.Recipe(crop); got.Revision != want {
			t.Errorf("%s is at revision %d, want %d", crop, got.Revision, want)
		}
	}
	if got, _ := sh.s.Recipe("radish"); got.By == "" || got.Why == "" || got.At.IsZero() {
		t.Errorf("who, when and why are missing: %+v", got)
	}
	if _, ok := sh.s.CanUndo(); ok {
		t.Error("undo would lose what the file brought")
	}

	file[0].Dry = 19 * time.Minute // now it says something new of pea, too
	sh.do(line.ImportRecipes{Recipes: file, Kept: true})
	history := sh.s.Book.History("pea")
	if n := len(history); n != 3 || history[1].Dry != 20*time.Minute || history[2].Dry != 19*time.Minute {
		t.Errorf("%d revisions, want 3 with the board's among them", n)
	}
}

func TestImportTakesTheLastOfAHistory(t *testing.T) {
	sh := openShed(t)
	var file []recipes.Recipe
	for i, dry := range []time.Duration{18, 19, 21} {
		r := fileOf(sh.s)[0]
		r.Revision, r.Dry = i+1, dry*time.Minute
		file = append(file, r)
	}
	sh.do(line.ImportRecipes{Recipes: file})
	if h := sh.s.Book.History("pea"); len(h) != 2 || h[1].Dry != 21*time.Minute {
		t.Errorf("%d revisions, want 2", len(h))
	}
	sh.refused(line.ImportRecipes{Recipes: file}, line.RuleNothing)
	for i := range file {
		file[i].Crop = "kale"
	}
	sh.do(line.ImportRecipes{Recipes: file})
	if h := sh.s.Book.History("kale"); len(h) != 3 {
		t.Errorf("%d revisions of a new crop, want all 3", len(h))
	}
}
