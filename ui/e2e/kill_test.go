package e2e

import (
	"database/sql"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	_ "modernc.org/sqlite"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/journal"
	"shedbell/recipes"
	"shedbell/ui/words"
)

// amount is how often a long test does what it does: a few times, or as often as
// the environment asks for.
func amount(name string, few int) int {
	if n, err := strconv.Atoi(os.Getenv(name)); err == nil && n > 0 {
		return n
	}
	return few
}

// told are the sentences about things done that a screen has at its foot. What is
// refused or cannot be done is no action; what is marked as not yet saved is not
// said to be done.
var told = regexp.MustCompile(`(?m)^ \d\d:\d\d ((?:[A-Z]+ \d+|Pressure washing|Sanitizing|Sowing|Water change|Day opened|Put right:|Alarm |\d+ alarms?|[a-z-]+ o[nf]).*)$`)

// manyTrays is a day of so many small batches that keys find something to do.
func manyTrays(t *testing.T, dir string) {
	t.Helper()
	day := "date = 2026-12-03\nstart = 07:30:00\ncrew = [\"Ash\"]\n\n[[crop]]\nname = \"pea\"\ntrays = 80\n"
	for name, text := range map[string]string{"recipes.toml": quickRecipes, "day.toml": day} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// TestKilledAtAnyMoment kills the program at random instants while keys are sent:
// 10 times, or SHEDBELL_KILLS times. Whatever a screen had shown as done is in the
// journal, in that order, and the next start is there at once.
func TestKilledAtAnyMoment(t *testing.T) {
	kills := amount("SHEDBELL_KILLS", 10)
	seed := uint64(time.Now().UnixNano())
	if s, err := strconv.ParseUint(os.Getenv("SHEDBELL_SEED"), 10, 64); err == nil {
		seed = s
	}
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 7))
	if _, err := binary(); err != nil { // before anything is timed
		t.Fatal(err)
	}
	var dir string
	var shown, records int
	var starts []time.Duration
	for i := range kills {
		if i%25 == 0 { // a day that has come to its end gives no more actions
			dir = t.TempDir()
			manyTrays(t, dir)
		}
		run := killOnce(t, dir, random, i%25 == 0)
		starts = append(starts, run.start)
		shown += len(run.seen)
		records = checkKilled(t, dir, run)
		if t.Failed() {
			t.Fatalf("after kill %d", i+1)
		}
	}
	slices.Sort(starts)
	t.Logf("%d kills, %d actions shown as done, none lost; %d records in the last journal; start to board: median %s, longest %s",
		kills, shown, records, starts[len(starts)/2].Round(time.Millisecond), starts[len(starts)-1].Round(time.Millisecond))
}

// killedRun is what was seen of a program before it was killed.
type killedRun struct {
	start time.Duration // until the board was there
	from  int64         // last record before the program
	seen  []string      // what its screens said was done, in order
}

func killOnce(t *testing.T, dir string, random *rand.Rand, fresh bool) killedRun {
	t.Helper()
	run := killedRun{from: lastRecord(t, dir)}
	began := time.Now()
	x := start(t, 100, 30, "--data", dir)
	x.expect("Enter ") // the keys of whatever screen it opens on
	run.start = time.Since(began)
	x.look(&run)
	if fresh {
		x.press("Enter")
		x.expect("pea")
		x.press("Enter")
	}
	for range random.IntN(30) {
		x.press(keyOf(random))
		for range random.IntN(4) {
			<-time.After(time.Duration(random.IntN(20000)) * time.Microsecond)
			x.look(&run)
		}
	}
	x.kill()
	x.look(&run)
	x.tty.Close()
	return run
}

// keyOf draws a key that acts: mostly the next thing to do, with what changes,
// holds, undoes and chooses in between.
func keyOf(random *rand.Rand) string {
	keys := []string{"Enter", "Enter", "Enter", "Enter", "Enter", "+", "-", ".", "0", "1", "3", "a"}
	return keys[random.IntN(len(keys))]
}

// look takes down what the screen now says was done.
func (x *terminal) look(run *killedRun) {
	screen := x.frame()
	if strings.Contains(screen, "ot yet saved") {
		return
	}
	run.seen = noted(run.seen, told.FindAllStringSubmatch(screen, -1))
}

// noted adds what was found, each as often as it changed.
func noted(seen []string, found [][]string) []string {
	for _, m := range found {
		text, _, _ := strings.Cut(m[1], "Enter came twice") // what the foot says of the key stands behind what was done
		text, _, _ = strings.Cut(text, "The key came twice")
		text = strings.TrimSpace(text)
		if n := len(seen); n == 0 || seen[n-1] != text {
			seen = append(seen, text)
		}
	}
	return seen
}

func lastRecord(t *testing.T, dir string) int64 {
	t.Helper()
	if _, err := os.Stat(filepath.Join(dir, "shedbell.db")); err != nil {
		return 0
	}
	j, err := journal.OpenReadOnly(dir)
	if err != nil {
		return 0 // killed while it was being made
	}
	defer j.Close()
	last, err := j.LastSeq()
	if err != nil {
		t.Fatal(err)
	}
	return last
}

// checkKilled holds a journal against what was seen, and returns how many records
// it has.
func checkKilled(t *testing.T, dir string, run killedRun) int {
	t.Helper()
	j, err := journal.OpenReadOnly(dir)
	if err != nil {
		if len(run.seen) == 0 {
			return 0
		}
		t.Fatal(err)
	}
	defer j.Close()
	all, book := recipes.Read("recipes.toml", []byte(quickRecipes))
	if len(book) > 0 {
		t.Fatal(book)
	}
	s := line.NewState(files.Starter(), recipes.NewBook(all...))
	var said []string
	n := 0
	err = j.Replay(0, func(r line.Record) error {
		n++
		said = append(said, words.English().Event(s, r))
		s = line.Apply(s, r)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	inOrder(t, "said", run.seen, said)
	integrity(t, dir)
	return n
}

// inOrder fails unless what was seen is in the journal, in that order.
func inOrder(t *testing.T, verb string, seen, known []string) {
	t.Helper()
	at := 0
	for _, text := range seen {
		for at < len(known) && !same(known[at], text) {
			at++
		}
		if at == len(known) {
			t.Errorf("the screen %s %q and the journal does not know of it\nseen:\n%s\njournal:\n%s", verb, text,
				strings.Join(seen, "\n"), strings.Join(known[max(0, len(known)-40):], "\n"))
			return
		}
	}
}

// same compares a sentence with one that may be cut off at the screen's edge or go
// on in the next row.
func same(whole, seen string) bool {
	seen = strings.TrimSuffix(seen, "…")
	return whole == seen || len(seen) > 60 && strings.HasPrefix(whole, seen) || strings.HasPrefix(seen, "Day opened") && strings.HasPrefix(seen, whole) && whole != ""
}

// integrity runs SQLite's own check, https://sqlite.org/pragma.html#pragma_integrity_check.
func integrity(t *testing.T, dir string) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, "shedbell.db")+"?mode=ro")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var answer string
	if err := db.QueryRow("PRAGMA integrity_check").Scan(&answer); err != nil || answer != "ok" {
		t.Errorf("integrity check: %q %v", answer, err)
	}
}
