package command

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/linetest"
	"shedbell/recipes"
	"shedbell/recipes/strictfile"
	"shedbell/recipes/strictfile/fuzztest"
	"shedbell/ui/words"
)

// FuzzAmps: whatever is asked of the interlock on the command line, it is a fault in
// words or a verdict whose text can be printed.
func FuzzAmps(f *testing.F) {
	p := &files.Starter().Panel
	for _, s := range [][2]string{{"fans:low,fridge", "pressure-washer"}, {"", "fans:high"}, {"rack-fans:high, lights", "spinner"}, {":,:", ":"},
		{"fridge,fridge", "fridge"}, {"\x1b[31m", "\u202e"}, {"rack-fans:", "pump:turbo"}} {
		f.Add(s[0], s[1], int64(600), int64(0))
	}
	f.Fuzz(func(t *testing.T, on, start string, onFor, runs int64) {
		defer fuzztest.Bound(t)()
		c := ampsCmd{On: []string{on}, Start: start, OnFor: time.Duration(onFor) * time.Second, For: time.Duration(runs) * time.Second}
		state, ask, err := c.question(p, linetest.Morning)
		if err != nil {
			if text := printableLines(err.Error()); strings.TrimSpace(text) == "" || strings.ContainsFunc(text, notPrinted) {
				t.Errorf("said as %q", text)
			}
			return
		}
		v := p.Judge(state, ask, linetest.Morning)
		if text := verdictText(words.English(), p, ask, &v); text == "" || strings.ContainsFunc(text, notPrinted) {
			t.Errorf("said as %q", text)
		}
		if !v.Allowed && len(v.Reasons) == 0 {
			t.Error("refused without a reason")
		}
	})
}

// notPrinted are control characters other than the end of a line.
func notPrinted(r rune) bool { return r != '\n' && strictfile.IsControl(r) }

// FuzzImport takes any recipe file over into a line's book, as recipes import does.
// What is taken over once is nothing new the second time, and what is said about it
// can be printed.
func FuzzImport(f *testing.F) {
	book := recipes.Starters()
	text, err := recipes.Write(book)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Add(bytes.ReplaceAll(text, []byte(`spin = "`), []byte(`spin = "1`)))
	for _, part := range bytes.SplitAfterN(text, []byte("[[recipe]]"), 4) {
		f.Add(append([]byte("[[recipe]]"), bytes.TrimSuffix(part, []byte("[[recipe]]"))...))
	}
	begun := line.NewState(files.Starter(), book)
	f.Fuzz(func(t *testing.T, data []byte) {
		defer fuzztest.Bound(t)()
		all, faults := recipes.Read("x.toml", data)
		if len(faults) > 0 {
			return
		}
		d, no := line.Decide(begun, line.ImportRecipes{Recipes: all}, linetest.Morning)
		if no != nil {
			return
		}
		for _, said := range takenOver(words.English(), begun, d.Events) {
			if out := wrap(said, 2); out == "" || strings.ContainsFunc(out, notPrinted) {
				t.Errorf("said as %q", out)
			}
		}
		s := begun
		for _, r := range d.Records(s, linetest.Morning, "Ash") {
			s = line.Apply(s, r)
		}
		if _, no := line.Decide(s, line.ImportRecipes{Recipes: all}, linetest.Morning); no == nil || no.Rule != line.RuleNothing {
			t.Errorf("the second time it was taken over again: %v", no)
		}
	})
}
