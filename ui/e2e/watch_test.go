package e2e

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// TestSecondStartWatches: a second program on the same data watches and says who
// has the line; when the first is killed, as a power cut does it, one key takes the
// line, lock and all.
func TestSecondStartWatches(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{"recipes.toml": quickRecipes, "day.toml": quickDay} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	first := start(t, 100, 30, "--data", dir)
	first.expect("No day is open")
	second := start(t, 120, 30, "--data", dir)
	second.expect(fmt.Sprintf("the line is run by process %d", first.cmd.Process.Pid), "watch")
	third := start(t, 120, 30, "--data", dir, "watch")
	third.expect(fmt.Sprintf("Process %d on", first.cmd.Process.Pid), "is running the line")

	first.press("Enter")
	first.expect("pea")
	first.press("Enter")
	first.expect("Cut PEA 1, 2 trays")
	second.expect("Cut PEA 1, 2 trays") // it follows
	third.expect("Cut PEA 1, 2 trays")
	read := func() { time.Sleep(3100 * time.Millisecond) } // before that, Enter only says what has changed
	read()
	second.press("Enter")
	second.expect("Not from here", "is running the line")

	first.kill()
	second.expect("The board's program has not run since", "Enter on the board takes over")
	read()
	second.press("Enter")
	second.expect("This screen runs the line now")
	read()
	second.press("Enter")
	second.expect("PEA 1 started at the cutting table")
	third.expect(fmt.Sprintf("Process %d on", second.cmd.Process.Pid), "inish cutting PEA 1")
	third.quit()
	second.quit()

	again := start(t, 100, 30, "--data", dir)
	again.expect("inish cutting PEA 1")
	again.quit()
}
