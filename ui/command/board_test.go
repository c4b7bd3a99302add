package command_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shedbell/ui/command"
)

func TestBoardWithoutTerminal(t *testing.T) {
	opened := false
	for _, args := range [][]string{nil, {"board"}, {"demo"}} {
		s := newShell(t)
		s.env.Board = func(command.BoardOptions) error { opened = true; return nil }
		s.want(t, command.ExitNoTerminal, args...)
		if text := s.err.String(); !strings.Contains(text, "terminal") || !strings.Contains(text, "shedbell rehearse") {
			t.Errorf("%v: says %q", args, text)
		}
		if _, err := os.Stat(s.vars["SHEDBELL_DATA"]); err == nil {
			t.Errorf("%v: made the data folder", args)
		}
	}
	if opened {
		t.Error("the board was opened without a terminal")
	}
}

func TestBoardGetsTheLine(t *testing.T) {
	s := newShell(t)
	s.env.Terminal = true
	var got command.BoardOptions
	s.env.Board = func(o command.BoardOptions) error { got = o; return nil }
	s.want(t, 0)
	if info, err := os.Stat(got.Folder); err != nil || !info.IsDir() || got.Folder != s.vars["SHEDBELL_DATA"] {
		t.Errorf("data folder %q: %v", got.Folder, err)
	}
	if got.Site.Name != "Alder shed" || len(got.Book.Crops()) < 8 || got.Sheet != nil || got.Demo || got.Speed != 1 || !got.Now().Equal(nine) {
		t.Errorf("opened with %+v", got)
	}
	s.env.Board = func(command.BoardOptions) error { return os.ErrPermission }
	s.want(t, command.ExitBadInput)
}

// The form for the day is filled in from the owner's day sheet, and from nobody else's.
func TestBoardSuggestsOnlyTheOwnersDay(t *testing.T) {
	s := newShell(t)
	s.env.Terminal = true
	var got command.BoardOptions
	s.env.Board = func(o command.BoardOptions) error { got = o; return nil }
	s.want(t, 0)
	if got.Suggest != nil {
		t.Errorf("without a day sheet it suggests %+v", got.Suggest)
	}
	day, err := os.ReadFile("../../testdata/starter_day.toml")
	if err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(s.vars["SHEDBELL_DATA"], "day.toml"), string(day))
	s.want(t, 0)
	if got.Suggest == nil || len(got.Suggest.Crops) == 0 {
		t.Errorf("with a day sheet it suggests %+v", got.Suggest)
	}
}

func TestBoardNeedsItsFolder(t *testing.T) {
	s := newShell(t)
	s.env.Terminal = true
	s.env.Board = func(command.BoardOptions) error { t.Error("opened without a folder"); return nil }
	file := filepath.Join(t.TempDir(), "file")
	put(t, file, "in the way")
	s.vars["SHEDBELL_DATA"] = filepath.Join(file, "data")
	s.want(t, command.ExitBadInput)
	if !strings.Contains(s.err.String(), "--data DIR") {
		t.Errorf("says %q", s.err.String())
	}
}

func TestDemoThrowsItsFolderAway(t *testing.T) {
	s := newShell(t)
	s.env.Terminal = true
	folder := ""
	s.env.Board = func(o command.BoardOptions) error {
		folder = o.Folder
		if info, err := os.Stat(folder); err != nil || !info.IsDir() || folder == s.vars["SHEDBELL_DATA"] {
			t.Errorf("throw-away folder %q: %v", folder, err)
		}
		put(t, filepath.Join(folder, "journal"), "something")
		if !o.Demo || o.Sheet == nil || o.Sheet.Trays() < 18 || !o.Sheet.Start.Equal(o.Now()) {
			t.Errorf("opened with %+v", o)
		}
		if o.Speed != 30 || !o.Plays || o.OwnSpeed != 30 {
			t.Errorf("opened at %g times the speed, for a person at %g, by itself: %t", o.Speed, o.OwnSpeed, o.Plays)
		}
		return nil
	}
	s.want(t, 0, "demo", "--speed", "30")
	if _, err := os.Stat(folder); folder == "" || !os.IsNotExist(err) {
		t.Errorf("the throw-away folder %q is still there: %v", folder, err)
	}
}
