package e2e

import "testing"

// A jet washer started by hand beside the spinner is told with four keys, is an alarm on
// every screen, and is so after the program was away; and so is a plug that went
// elsewhere, which is not taken for a changed line file.
func TestFactsOutliveTheProgram(t *testing.T) {
	dir := t.TempDir()
	quickFiles(t, dir)
	x := start(t, 120, 40, "--data", dir)
	x.expect("Enter opens the form")
	x.press("/", "1")
	x.expect("pressure washer")
	seen := func(load string, keys ...string) {
		t.Helper()
		x.press(load, ".")
		x.expect("What have you seen")
		x.press(keys...)
	}
	seen("1", "1", "Enter")
	x.expect("pressure washer found on")
	seen("3", "1", "Enter")
	x.expect("spinner found on", "carries 21 of 20 A and may trip", "switch spinner off now")
	seen("6", "7", "1", "Enter")
	x.expect("fridge plugged in at", "carries 27 of 20 A")
	x.quit()

	x = start(t, 120, 40, "--data", dir)
	x.expect("carries 27 of 20 A")
	x.press("/", "1")
	x.expect("27.0 of 20 A")
	seen("1", "2", "Enter")
	x.expect("pressure washer found off")
	x.quit()
}
