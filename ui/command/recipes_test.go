package command_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/journal"
	"shedbell/line/linetest"
	"shedbell/line/live"
	"shedbell/recipes"
	"shedbell/ui/command"
)

// exported is what the board has, read back.
func (s *shell) exported(t *testing.T) (recipes.Book, []byte) {
	t.Helper()
	s.want(t, 0, "recipes", "export")
	data := bytes.Clone(s.out.Bytes())
	all, faults := recipes.Read("export", data)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return recipes.NewBook(all...), data
}

func TestExportAndImport(t *testing.T) {
	s := newShell(t)
	book, starters := s.exported(t)
	if len(book.Crops()) != len(recipes.Starters().Crops()) {
		t.Errorf("%d crops, want the starters", len(book.Crops()))
	}
	file := filepath.Join(t.TempDir(), "mine.toml")
	s.want(t, 0, "recipes", "export", file)
	s.want(t, command.ExitBadInput, "recipes", "export", file)
	if !strings.Contains(s.err.String(), "already exists") {
		t.Errorf("says %q", s.err.String())
	}
	if got, _ := os.ReadFile(file); !bytes.Equal(got, starters) {
		t.Error("the file is not what is printed")
	}

	changed := bytes.Replace(starters, []byte("spin = '4m'"), []byte("spin = '3m30s'"), 1) // of the pea
	put(t, file, string(changed))
	s.want(t, 0, "recipes", "import", file)
	if got := s.out.String(); got != "pea: revision 2, spin 4:00 to 3:30\n" {
		t.Errorf("printed %q", got)
	}
	book, _ = s.exported(t)
	if h := book.History("pea"); len(h) != 2 || h[0].Spin != 4*time.Minute || h[1].Spin != 210*time.Second {
		t.Errorf("history %+v", h)
	}
	s.want(t, 0, "recipes", "import", file)
	if !strings.Contains(s.out.String(), "Nothing new") {
		t.Errorf("printed %q", s.out.String())
	}
}

func TestImportOfABadFileChangesNothing(t *testing.T) {
	s := newShell(t)
	_, before := s.exported(t)
	file := filepath.Join(t.TempDir(), "bad.toml")
	bad := strings.Replace(string(before), "spin = '4m'", "spin = '-4m'", 1)
	bad = strings.Replace(bad, "batch_trays = 4", "trays = 4", 1)
	put(t, file, bad)
	s.want(t, command.ExitBadInput, "recipes", "import", file)
	for _, part := range []string{"faults in the files; nothing was changed", file + ":4:1: trays", "spin = '-4m'", "batch_trays"} {
		if !strings.Contains(s.err.String(), part) {
			t.Errorf("does not say %q:\n%s", part, s.err.String())
		}
	}
	if _, after := s.exported(t); !bytes.Equal(before, after) {
		t.Error("something was changed")
	}
	s.want(t, command.ExitBadInput, "recipes", "import", filepath.Join(t.TempDir(), "none.toml"))
}

// A board that is open keeps its journal to itself; reading beside it is fine.
func TestRecipesBesideAnOpenBoard(t *testing.T) {
	s := newShell(t)
	_, starters := s.exported(t)
	file := filepath.Join(t.TempDir(), "mine.toml")
	put(t, file, string(starters))
	store, err := journal.Open(s.vars["SHEDBELL_DATA"], journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	l, _, err := live.Open(store, files.Starter(), recipes.Starters(), linetest.NewManual(nine), "Ash")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	r, _ := l.State().Recipe("pea")
	r.Dry, r.By, r.Why = r.Dry+time.Minute, "Ash", "too wet"
	after, _, no := l.Do(line.Revise{Recipe: r})
	if no != nil {
		t.Fatal(no)
	}
	if err := l.Wait(context.Background(), after.Seq); err != nil {
		t.Fatal(err)
	}
	book, _ := s.exported(t)
	if got, _ := book.Current("pea"); got.Revision != 2 || got.By != "Ash" || got.Why != "too wet" || got.Dry != r.Dry {
		t.Errorf("exported %+v", got)
	}
	s.want(t, command.ExitBadInput, "recipes", "import", file)
	if !strings.Contains(s.err.String(), "Close the board first") {
		t.Errorf("says %q", s.err.String())
	}
}

// Importing between a crash and the next start must not hide the crash.
func TestImportKeepsHowTheBoardEnded(t *testing.T) {
	for _, clean := range []bool{true, false} {
		s := newShell(t)
		_, starters := s.exported(t)
		dir := s.vars["SHEDBELL_DATA"]
		store, err := journal.Open(dir, journal.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := store.Beat(nine); err != nil {
			t.Fatal(err)
		}
		end := store.Close
		if clean {
			end = func() error { return store.CloseClean(nine) }
		}
		if err := end(); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "mine.toml")
		put(t, file, strings.Replace(string(starters), "spin = '4m'", "spin = '3m45s'", 1))
		s.want(t, 0, "recipes", "import", file)
		again, err := journal.Open(dir, journal.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if at, ok := again.LastBeat(); again.WasClean() != clean || !ok || !at.Equal(nine) {
			t.Errorf("ended in order: %v, want %v; last beat %v %s", again.WasClean(), clean, ok, at)
		}
		again.Close()
	}
}

// The recipe file that is read at every start brings what is new in it, and only
// that.
func TestChangedRecipeFileAtTheStart(t *testing.T) {
	starters := recipes.Starters()
	data, err := recipes.Write(starters)
	if err != nil {
		t.Fatal(err)
	}
	s := newShell(t)
	s.env.Terminal = true
	var filed []recipes.Recipe
	s.env.Board = func(o command.BoardOptions) error { filed = o.Filed; return nil }
	s.want(t, 0)
	if filed != nil {
		t.Error("starters are no file")
	}
	put(t, filepath.Join(s.vars["SHEDBELL_DATA"], "recipes.toml"), string(data))
	s.want(t, 0)
	l, _, err := live.Open(&linetest.Memory{}, files.Starter(), starters, linetest.NewManual(nine), "Ash")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if notice := l.TakeRecipes(filed); len(notice) > 0 || len(filed) == 0 {
		t.Errorf("%d recipes, notice %q of an unchanged file", len(filed), notice)
	}
	seq := l.State().Seq
	filed[0].Dry += time.Minute
	if notice := l.TakeRecipes(filed); !strings.Contains(notice.String(), filed[0].Crop) {
		t.Errorf("notice %q", notice)
	}
	if got, _ := l.State().Recipe(filed[0].Crop); got.Revision != 2 || l.State().Seq != seq+1 {
		t.Errorf("revision %d, %d records", got.Revision, l.State().Seq-seq)
	}
}
