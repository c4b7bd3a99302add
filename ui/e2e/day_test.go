package e2e

import (
	"os"
	"path/filepath"
	"testing"
)

// quickRecipes are invented. Their countdowns are not waited for: the test ends
// each step early, which the board asks to have confirmed.
const quickRecipes = `
[[recipe]]
crop = "pea"
batch_trays = 2
soak = "1m"
spin = "30s"
dry = "1m"
fan = "medium"
max_wet_wait = "15m"
yield_g_per_tray = 300
package_g = 125
seed_g_per_tray = 200
days_to_harvest = 10
`

const quickDay = `
date = 2026-12-03
start = 07:30:00
crew = ["Ash"]

[[crop]]
name = "pea"
trays = 2
`

// TestOneBatchByKeys runs a batch from the cutting table to the fridge by keys, is
// refused once, leaves and finds everything as it was.
func TestOneBatchByKeys(t *testing.T) {
	dir := t.TempDir()
	quickFiles(t, dir)
	x := start(t, 100, 30, "--data", dir)
	x.oneBatch()
	x.quit()

	x = start(t, 100, 30, "--data", dir)
	x.expect("2 of 2 cold", "It runs alone", "7 TRAY WASH 2 wait", "4 packs", "500 g")
	x.quit()
}

func quickFiles(t *testing.T, dir string) {
	t.Helper()
	for name, text := range map[string]string{"recipes.toml": quickRecipes, "day.toml": quickDay} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// oneBatch runs the day's only batch from the cutting table to the fridge.
func (x *terminal) oneBatch() {
	x.t.Helper()
	x.expect("No day is open")
	x.press("Enter")
	x.expect("pea")
	x.press("Enter")
	x.expect("Cut PEA 1, 2 trays")
	x.press("Enter")
	x.expect("PEA 1 started at the cutting table", "inish cutting PEA 1")
	x.press("7", "Enter") // nothing has been cut, so there is no tray to wash
	x.expect("Not now: no tray is ready for tray wash")
	x.press("\x1b")
	x.expect("inish cutting PEA 1")
	x.endAtOnce()
	x.expect("Put PEA 1 into the tub")
	x.press("Enter")
	for _, due := range []string{"lift PEA 1 into spinner", "unload PEA 1 onto rack a", "take PEA 1 off rack a"} {
		x.expect(due)
		x.press("Enter")
		x.expect("too early")
		x.press("Enter")
	}
	x.expect("Pack PEA 1")
	x.press("Enter")
	x.expect("inish packing PEA 1")
	x.endAtOnce()
	x.expect("PEA 1 packed", "packages")
	x.press("4", "Enter", "Enter")
	x.expect("Put PEA 1 into the fridge")
	x.press("Enter")
	x.expect("2 of 2 cold", "It runs alone", "7 TRAY WASH 2 wait")
}
