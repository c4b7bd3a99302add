package e2e

import (
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

// Leaving and coming back as the terminal's own sequences have it: xterm's private modes
// 1049, the other screen, and 25, the cursor (XTerm Control Sequences).
const leftScreen, cursorShown = "\x1b[?1049l", "\x1b[?25h"

// TestSignalsEndIt: a service's end and a terminal that is closed end the program in every
// state, and it leaves the terminal as it was.
func TestSignalsEndIt(t *testing.T) {
	for _, sig := range []syscall.Signal{syscall.SIGTERM, syscall.SIGHUP} {
		for name, keys := range map[string][]string{"board": nil, "menu": {"/"}, "help": {"?"}, "station": {"2", "2"}, "question": {"/", "1", "3", "."}} {
			t.Run(sig.String()+" at the "+name, func(t *testing.T) {
				t.Parallel()
				x := opened(t, shortDir(t))
				x.press(keys...)
				if err := x.cmd.Process.Signal(sig); err != nil {
					t.Fatal(err)
				}
				select {
				case err := <-x.done:
					if err != nil {
						t.Errorf("it ended with %v", err)
					}
				case <-time.After(patience):
					t.Fatalf("it goes on:\n%s", x.screen())
				}
				if sent := x.sent(); strings.LastIndex(sent, leftScreen) < 0 || strings.LastIndex(sent, cursorShown) < 0 {
					t.Error("the terminal was not left as it was")
				}
			})
		}
	}
}

// TestEndsWithItsTerminal: where the terminal is closed, nothing is left running, whatever
// was on the screen and whatever came before it.
func TestEndsWithItsTerminal(t *testing.T) {
	path, err := binary()
	if err != nil {
		t.Fatal(err)
	}
	const first = "4 "
	for name, tc := range map[string]struct {
		args   []string
		begins string
		key    string
		shows  string
	}{
		"first screen":           {begins: first},
		"demo from it":           {begins: first, key: "1", shows: "plays by itself"},
		"practice from it":       {begins: first, key: "2", shows: "CUT"},
		"set-up from it":         {begins: first, key: "3", shows: "What is the shed called"},
		"board from it":          {begins: first, key: "4", shows: "No day is open"},
		"set-up":                 {args: []string{"setup"}, begins: "What is the shed called"},
		"demo":                   {args: []string{"demo"}, begins: "plays by itself"},
		"one line for each step": {args: []string{"board", "--lines"}, begins: "No day is open"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			if !slices.Contains(tc.args, "demo") {
				tc.args = append(tc.args, "--data", filepath.Join(shortDir(t), "new"))
			}
			x := begun(t, path, 100, 30, tc.args...)
			x.expect(tc.begins)
			if tc.key != "" {
				x.press(tc.key)
				x.expect(tc.shows)
			}
			x.tty.Close()
			select {
			case <-x.done:
			case <-time.After(patience):
				t.Fatalf("it goes on:\n%s", x.screen())
			}
		})
	}
}

// TestStoppedAndBack: Ctrl+Z gives the terminal back, and the program draws its screen
// again when it is called to the front.
func TestStoppedAndBack(t *testing.T) {
	x := opened(t, shortDir(t))
	before := len(x.sent())
	x.press("\x1a")
	for deadline := time.Now().Add(patience); !strings.Contains(x.sent()[before:], leftScreen); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("the terminal was not given back:\n%s", x.screen())
		}
	}
	before = len(x.sent())
	for deadline := time.Now().Add(patience); !strings.Contains(x.sent()[before:], "wet wall"); time.Sleep(50 * time.Millisecond) {
		if err := x.cmd.Process.Signal(syscall.SIGCONT); err != nil { // once it has stopped
			t.Fatal(err)
		}
		if time.Now().After(deadline) {
			t.Fatalf("nothing was drawn again:\n%s", x.screen())
		}
	}
	x.press("Enter")
	x.expect("inish cutting PEA 1")
	x.quit()
}
