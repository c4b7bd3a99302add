package e2e

import (
	"testing"
)

// A tray is dropped, the count was wrong, the spinner will not run: told with the digits
// of a number pad to the real program, which goes on with what people do then, and has
// it all in its journal when it is started again.
func TestWhatHappenedIsToldOnTheNumberPad(t *testing.T) {
	dir := t.TempDir()
	quickFiles(t, dir)
	x := start(t, 80, 24, "--data", dir)
	x.expect("No day is open")
	x.press("Enter")
	x.expect("pea")
	x.press("Enter")
	x.expect("Cut PEA 1, 2 trays")
	x.press("1", "1", "2", "/")
	x.expect("What happened here?")
	x.press("2")
	x.expect("How many trays are PEA 1")
	x.press("4", "Enter") // there are four
	x.expect("PEA 1, 4 trays")
	x.press("/", "1") // one falls down
	x.expect("PEA 1: 1 tray lost", "PEA 1, 3 trays")
	x.press("0", "3", "3", "/", "8")
	x.expect("Take the spinner out of use")
	x.press("1", "0")
	x.expect("spinner out of use")
	x.press("\x1b")
	x.expect("Cut PEA 1, 3 trays")
	x.press("Enter")
	x.expect("inish cutting PEA 1")
	x.endAtOnce()
	x.expect("Put PEA 1 into the tub")
	x.press("Enter")
	x.expect("PEA 1 started at the tub")
	x.press("Enter")
	x.expect("too early")
	x.press("Enter")
	x.expect("by hand")
	x.quit()
	y := start(t, 80, 24, "--data", dir)
	y.expect("take PEA 1 from the spinner", "0 of 3 cold", "7 TRAY WASH 4 wait")
	y.quit()
}
