package command_test

import (
	"context"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/linetest"
	"shedbell/ui/command"
)

// note puts notes into a folder's journal and returns the last number.
func note(t *testing.T, dir string, notes ...string) int64 {
	t.Helper()
	j, err := journal.Open(dir, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	last, err := j.LastSeq()
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range notes {
		last++
		r := line.Record{Seq: last, Group: last, At: linetest.Morning, By: "Ash", Event: line.NoteAdded{Text: text}}
		if err := j.Append(context.Background(), []line.Record{r}); err != nil {
			t.Fatal(err)
		}
	}
	return last
}

// notesOf lists the notes of a folder's journal.
func notesOf(t *testing.T, dir string) string {
	t.Helper()
	j, err := journal.OpenReadOnly(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	var out []string
	err = j.Replay(0, func(r line.Record) error {
		out = append(out, r.Event.(line.NoteAdded).Text)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(out, " ")
}

func TestBackupAndRestore(t *testing.T) {
	s := newShell(t)
	dir, copied := s.vars["SHEDBELL_DATA"], filepath.Join(t.TempDir(), "copy.db")
	s.want(t, command.ExitBadInput, "backup", copied)
	if !strings.Contains(s.err.String(), "there's no journal") {
		t.Error(s.err.String())
	}
	note(t, dir, "one", "two")
	s.want(t, command.ExitOK, "backup", copied)
	if !strings.Contains(s.out.String(), "Copied 2 records") {
		t.Error(s.out.String())
	}
	note(t, dir, "three")
	s.want(t, command.ExitOK, "restore", copied)
	if got := notesOf(t, dir); got != "one two" {
		t.Errorf("after the restore the journal holds %q", got)
	}
	if !strings.Contains(s.out.String(), "is kept as") {
		t.Error(s.out.String())
	}
	note(t, dir, "four") // the line goes on from there
	if got := notesOf(t, dir); got != "one two four" {
		t.Errorf("then %q", got)
	}
	other := filepath.Join(t.TempDir(), "new")
	s.want(t, command.ExitOK, "--data", other, "restore", copied)
	if got := notesOf(t, other); got != "one two" {
		t.Errorf("a new folder holds %q", got)
	}
}

// A copy while the line is written to is whole and can be restored.
func TestBackupBesideTheWriter(t *testing.T) {
	s := newShell(t)
	dir, copied := s.vars["SHEDBELL_DATA"], filepath.Join(t.TempDir(), "copy.db")
	note(t, dir, "one")
	j, err := journal.Open(dir, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	s.want(t, command.ExitOK, "backup", copied)
	s.want(t, command.ExitBadInput, "restore", copied)
	if !strings.Contains(s.err.String(), "viewer") && !strings.Contains(s.err.String(), "process") {
		t.Errorf("a restore under a running board says %q", s.err.String())
	}
}

func TestBackupAndRestoreRefuse(t *testing.T) {
	s := newShell(t)
	dir := s.vars["SHEDBELL_DATA"]
	note(t, dir, "one")
	folder := t.TempDir()
	good, bad, empty := filepath.Join(folder, "good.db"), filepath.Join(folder, "bad"), filepath.Join(folder, "empty")
	s.want(t, command.ExitOK, "backup", good)
	data, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	at := strings.Index(string(data), `{"Text":"one"}`)
	data[at+10] ^= 0x01
	for name, text := range map[string][]byte{bad: data, empty: nil} {
		if err := os.WriteFile(name, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for name, args := range map[string][]string{
		"is a folder":       {"backup", folder},
		"data folder":       {"backup", filepath.Join(dir, "shedbell.db")},
		"is damaged":        {"restore", bad},
		"is empty":          {"restore", empty},
		"there's no file":   {"restore", filepath.Join(folder, "none")},
		"cannot be written": {"backup", filepath.Join(folder, "none", "copy")},
	} {
		s.want(t, command.ExitBadInput, args...)
		if !strings.Contains(strings.Join(strings.Fields(s.err.String()), " "), name) {
			t.Errorf("%v: %q lacks %q", args, s.err.String(), name)
		}
	}
	if got := notesOf(t, dir); got != "one" {
		t.Errorf("the journal became %q", got)
	}
}

// An older program says in words that a newer one has written the journal, or the
// copy, and changes neither.
func TestANewerJournalIsRefusedInWords(t *testing.T) {
	s := newShell(t)
	dir, copied := s.vars["SHEDBELL_DATA"], filepath.Join(t.TempDir(), "copy.db")
	note(t, dir, "one")
	s.want(t, command.ExitOK, "backup", copied)
	for _, path := range []string{copied, filepath.Join(dir, "shedbell.db")} {
		db, err := sql.Open("sqlite", path)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := db.Exec(fmt.Sprintf("PRAGMA user_version = %d", 99)); err != nil {
			t.Fatal(err)
		}
		db.Close()
	}
	for _, args := range [][]string{{"restore", copied}, {"backup", copied + "2"}} {
		s.want(t, command.ExitBadInput, args...)
		if text := s.err.String(); !strings.Contains(text, "newer") || !strings.Contains(text, "99") {
			t.Errorf("%v says %q", args, text)
		}
	}
}

// The whole data folder comes back: the journal, and the owner's files beside it. What was
// there and is another is kept; a drill changes nothing.
func TestTheWholeFolderMoves(t *testing.T) {
	s := newShell(t)
	dir := s.vars["SHEDBELL_DATA"]
	note(t, dir, "one")
	own := map[string]string{"line.toml": "# mine\n", "recipes.toml": "", "day.toml": "# today\n", "settings.toml": "clock = 24\n", "ssh_host_key": "secret\n"}
	for name, text := range own {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	archive := filepath.Join(t.TempDir(), "shed.tar.gz")
	s.want(t, command.ExitOK, "backup", archive)
	for name := range own {
		if !strings.Contains(s.out.String(), name) {
			t.Errorf("the archive is said to be without %s: %q", name, s.out.String())
		}
	}

	other := t.TempDir()
	s.vars["SHEDBELL_DATA"] = other
	if err := os.WriteFile(filepath.Join(other, "line.toml"), []byte("# theirs\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	s.want(t, command.ExitOK, "restore", "--check", archive)
	if all, err := os.ReadDir(other); err != nil || len(all) != 1 || !strings.Contains(s.out.String(), "Nothing was changed") {
		t.Errorf("a drill left %v, said %q", all, s.out.String())
	}
	s.want(t, command.ExitOK, "restore", archive)
	for name, text := range own {
		if got, err := os.ReadFile(filepath.Join(other, name)); err != nil || string(got) != text {
			t.Errorf("%s is %q: %v", name, got, err)
		}
	}
	if kept, err := filepath.Glob(filepath.Join(other, "line.toml.replaced-*")); err != nil || len(kept) != 1 {
		t.Errorf("what was there was kept as %v", kept)
	}
	if got := notesOf(t, other); got != "one" {
		t.Errorf("the journal has %q", got)
	}
}

// No byte of an archive can change unseen: it is refused, or what comes back is the same.
func TestDamagedArchives(t *testing.T) {
	s := newShell(t)
	dir := s.vars["SHEDBELL_DATA"]
	note(t, dir, "one")
	if err := os.WriteFile(filepath.Join(dir, "line.toml"), []byte("# mine\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	archive := filepath.Join(t.TempDir(), "shed.tar.gz")
	s.want(t, command.ExitOK, "backup", archive)
	whole, err := os.ReadFile(archive)
	if err != nil {
		t.Fatal(err)
	}
	refused := 0
	for i := range 40 {
		data := append([]byte(nil), whole...)
		data[i*len(data)/40] ^= 1 << (i % 8)
		bad, to := filepath.Join(t.TempDir(), "bad.tar.gz"), t.TempDir()
		if err := os.WriteFile(bad, data, 0o600); err != nil {
			t.Fatal(err)
		}
		s.vars["SHEDBELL_DATA"] = to
		if s.run("restore", bad) != command.ExitOK {
			refused++
			continue
		}
		if got, err := os.ReadFile(filepath.Join(to, "line.toml")); err != nil || string(got) != "# mine\n" || notesOf(t, to) != "one" {
			t.Errorf("byte %d changed what comes back: %q, %v", i*len(data)/40, got, err)
		}
	}
	if refused < 36 { // the rest are in the time and the name of the file, which nothing reads
		t.Errorf("%d of 40 damaged archives were refused", refused)
	}
}
