package e2e

import (
	"database/sql"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line/files"
)

// command runs the program without a terminal and gives what it says.
func command(t *testing.T, args ...string) (said string, err error) {
	t.Helper()
	path, err := binary()
	if err != nil {
		t.Fatalf("build: %v", err)
	}
	out, err := exec.Command(path, args...).CombinedOutput()
	return strings.Join(strings.Fields(string(out)), " "), err
}

// copies are the names of a folder's daily copies, oldest first.
func copies(t *testing.T, dir string) (names []string) {
	t.Helper()
	all, err := os.ReadDir(filepath.Join(dir, "backups"))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range all {
		names = append(names, e.Name())
	}
	return names
}

// TestDailyCopiesOfTheJournal: soon after its start the program has copied the journal for today
// and let go of all copies but 14; such a copy brings that state back, and what was
// there is kept.
func TestDailyCopiesOfTheJournal(t *testing.T) {
	dir := t.TempDir()
	x := opened(t, dir)
	x.press("Enter")
	x.expect("PEA 1 started")
	x.quit()
	if err := os.MkdirAll(filepath.Join(dir, "backups"), 0o755); err != nil {
		t.Fatal(err)
	}
	today := time.Now()
	name := func(ago int) string { return "shedbell-" + today.AddDate(0, 0, -ago).Format(time.DateOnly) + ".db" }
	made := filepath.Join(t.TempDir(), "copy.db")
	if said, err := command(t, "--data", dir, "backup", made); err != nil {
		t.Fatal(said)
	}
	whole := []byte(read(t, made))
	for ago := 1; ago <= 20; ago++ {
		if err := os.WriteFile(filepath.Join(dir, "backups", name(ago)), whole, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	// The first start may have been long enough to make today's.
	if err := os.Remove(filepath.Join(dir, "backups", name(0))); err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	x = start(t, 100, 30, "--data", dir)
	x.expect("inish cutting PEA 1")
	for deadline := time.Now().Add(patience); ; time.Sleep(20 * time.Millisecond) {
		if all := copies(t, dir); len(all) == 14 && all[0] == name(13) && all[13] == name(0) {
			break
		} else if time.Now().After(deadline) {
			t.Fatalf("%d copies: %v", len(all), all)
		}
	}
	x.endAtOnce()
	x.expect("PEA 1 into the tub")
	today0 := filepath.Join(dir, "backups", name(0))
	if said, err := command(t, "--data", dir, "restore", today0); err == nil || !strings.Contains(said, fmt.Sprintf("process %d on", x.cmd.Process.Pid)) {
		t.Errorf("restored below a running line: %s", said)
	}
	x.quit()
	said, err := command(t, "--data", dir, "restore", today0)
	if err != nil || !strings.Contains(said, "is the journal of") || !strings.Contains(said, "is kept as") {
		t.Fatal(said)
	}
	x = start(t, 100, 30, "--data", dir)
	x.expect("inish cutting PEA 1") // as it was when it was copied
	x.quit()
	integrity(t, dir)
}

// TestARestoredFolderKeepsItsShed: a journal that is restored into a new folder goes on
// with its own shed, in which the pressure washer does not fit its breaker, and not
// with the starter, in which it does: without a day and in the middle of one.
func TestARestoredFolderKeepsItsShed(t *testing.T) {
	dir, moved := t.TempDir(), filepath.Join(t.TempDir(), "moved")
	manyTrays(t, dir)
	own := strings.NewReplacer(`"Alder shed"`, `"Willow shed"`, "breaker_a = 20\nreceptacle_a = 20\ngfci = true", "breaker_a = 10\ngfci = true").
		Replace(string(files.StarterLine()))
	if err := os.WriteFile(filepath.Join(dir, "line.toml"), []byte(own), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, dayOpen := range []bool{false, true} {
		x := start(t, 100, 30, "--data", dir)
		x.expect("No day is open")
		if dayOpen {
			x.press("Enter")
			x.expect("pea")
			x.press("Enter")
			x.expect("Day opened")
		}
		x.quit()
		made := filepath.Join(t.TempDir(), "copy.db")
		if said, err := command(t, "--data", dir, "backup", made); err != nil {
			t.Fatal(said)
		}
		if said, err := command(t, "--data", moved, "restore", made); err != nil {
			t.Fatal(said)
		}
		x = start(t, 140, 40, "--data", moved)
		x.expect("No line.toml here: going on with the line of Willow shed")
		if strings.Contains(x.screen(), "changed") {
			t.Errorf("day open %v:\n%s", dayOpen, x.screen())
		}
		x.quit()
		said, err := command(t, "--data", moved, "amps", "--start", "pressure-washer")
		if err == nil || !strings.Contains(said, "would carry 14.0 of 10 A") || !strings.Contains(said, "going by the line of Willow shed") {
			t.Errorf("day open %v: amps: %v %s", dayOpen, err, said)
		}
	}
	if said, err := command(t, "--data", filepath.Join(moved, "empty"), "amps", "--start", "pressure-washer"); err != nil {
		t.Errorf("the starter refuses: %s", said)
	}
}

// TestANewerJournal: a journal of a later version is refused in words and left as it
// is.
func TestANewerJournal(t *testing.T) {
	dir := t.TempDir()
	x := opened(t, dir)
	x.quit()
	file := filepath.Join(dir, "shedbell.db")
	db, err := sql.Open("sqlite", "file:"+file)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("PRAGMA user_version = 99"); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	before := read(t, file)
	x = start(t, 100, 30, "--data", dir)
	x.expect("newer", "99;", "Nothing") // single words: where the lines break depends on the folder
	if err := <-x.done; err == nil {
		t.Error("the program said nothing by its exit code")
	}
	if read(t, file) != before {
		t.Error("the refused journal was changed")
	}
}
