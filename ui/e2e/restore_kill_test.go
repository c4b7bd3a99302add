package e2e

import (
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line/files"
)

// TestRestoredFoldersAreTheirOwnersShed: the program is killed at random instants of a day
// on a shed of its own, its folder is backed up as it then is, and the restoring is killed
// at random instants too. What is there afterwards is nothing, or that shed, in which the
// pressure washer does not fit its breaker; a second try ends what the first began; and the
// journal alone goes on with that shed as well. The long form:
//
//	SHEDBELL_KILLS=200 go test ./ui/e2e -run RestoredFolders -v -timeout 60m
func TestRestoredFoldersAreTheirOwnersShed(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 1))
	own := strings.NewReplacer(`"Alder shed"`, `"Willow shed"`, "breaker_a = 20\nreceptacle_a = 20\ngfci = true", "breaker_a = 10\ngfci = true").
		Replace(string(files.StarterLine()))
	path, err := binary()
	if err != nil {
		t.Fatal(err)
	}
	its := func(dir, when string) {
		t.Helper()
		if said, err := command(t, "--data", dir, "amps", "--start", "pressure-washer"); err == nil || !strings.Contains(said, "would carry 14.0 of 10 A") {
			t.Fatalf("%s: judged by another shed: %v %s", when, err, said)
		}
	}
	cut, half := 0, 0
	for n := range amount("SHEDBELL_KILLS", 4) {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, "line.toml"), []byte(own), 0o644); err != nil {
			t.Fatal(err)
		}
		x := start(t, 100, 30, "--data", dir)
		x.expect("No day is open")
		for range rnd.IntN(12) {
			x.press([]string{"Enter", "+", "1", "2", "/", "0"}[rnd.IntN(6)])
			time.Sleep(time.Duration(rnd.IntN(40)) * time.Millisecond)
		}
		x.kill()
		its(dir, "after the kill")

		made := filepath.Join(t.TempDir(), "copy.tar.gz")
		if said, err := command(t, "--data", dir, "backup", made); err != nil {
			t.Fatal(said)
		}
		to := filepath.Join(t.TempDir(), "moved")
		restore := exec.Command(path, "--data", to, "restore", made)
		if err := restore.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(rnd.IntN(150_000)) * time.Microsecond)
		_ = restore.Process.Kill()
		if restore.Wait() != nil {
			cut++
		}
		if left, _ := filepath.Glob(filepath.Join(to, "shedbell.db")); len(left) > 0 {
			half++
			its(to, "after a restore that was killed")
		}
		if said, err := command(t, "--data", to, "restore", made); err != nil {
			t.Fatalf("the second try of %d: %s", n, said)
		}
		its(to, "restored")
		alone := t.TempDir()
		data, err := os.ReadFile(filepath.Join(to, "shedbell.db"))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(alone, "shedbell.db"), data, 0o644); err != nil {
			t.Fatal(err)
		}
		its(alone, "the journal alone")
	}
	t.Logf("%d restores were cut off, %d folders had a journal by then", cut, half)
}
