package e2e

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shedbell/line/files"
)

// TestBoardInLines works at a board for a screen reader: whole sentences come one a
// line, what an Enter did and the reply to a wrong key too, and nothing is drawn: no
// escape sequence moves or colours anything.
func TestBoardInLines(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "line.toml"), files.StarterLine(), 0o644); err != nil {
		t.Fatal(err)
	}
	x := start(t, 100, 30, "board", "--lines", "--data", dir)
	x.expect("No day is open")
	x.press("/")
	x.expect("1", "power")
	x.press("0", "Enter")
	x.expect("Alder shed") // the form of the day is read
	x.press("/", "Z")
	x.quit()
	for _, moves := range []string{"\x1b[H", "\x1b[2J", "\x1b[?1049h", "\x1b[1m", "\x1b[38", "█", "─"} {
		if strings.Contains(x.sent(), moves) {
			t.Errorf("%q was sent", moves)
		}
	}
}
