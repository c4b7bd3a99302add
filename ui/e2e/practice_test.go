package e2e

import (
	"testing"
)

// TestPracticeMistakeByKeys errs on a practice day and reads why. The clock is slow
// enough for the early lift to be one on a busy machine.
func TestPracticeMistakeByKeys(t *testing.T) {
	x := start(t, 80, 24, "demo", "--practice", "--speed", "2")
	x.expect("practice, no mistake", "Practice has begun", "Cut ", "Never cut towards your hand")
	x.press("Enter")
	x.expect("inish cutting")
	x.endAtOnce()
	x.expect("practice, 1 mistake", "that cannot be", "into the tub", "Then start the tub blower")
	x.press("Enter")
	x.expect("CAUTION", "read and understood")
	x.press("Enter")
	x.expect("Cut SUNFLOWER 1") // pea 1 is in the tub
	x.press("2")
	x.expect("Blower off, lift")
	x.press("Enter")
	x.expect("too early. Enter again to do it anyway")
	x.press("Enter")
	x.expect("CAUTION")
	x.press("Enter")
	x.expect("practice, 2 mistakes", "came out of the tub", "too early: grit stays")
	x.press("p")
	x.expect("Mistakes so far: 2.", "Whatever stays on gets eaten", "next time", "Before time is up, Enter only asks")
	x.press("Enter")
	x.expect("practice, 2 mistakes", "1 CUT")
	x.quit()
}

// TestPracticeBeginsInTheDemo finds practice among the screens of a plain demo.
func TestPracticeBeginsInTheDemo(t *testing.T) {
	x := start(t, 80, 24, "demo")
	x.expect("Cut ")
	x.press("/")
	x.expect("a  practice")
	x.press("a")
	x.expect("start practising")
	x.press("Enter")
	x.expect("practice, no mistake", "Practice has begun")
	x.quit()
}
