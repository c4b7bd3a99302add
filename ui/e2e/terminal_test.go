// Package e2e drives the real program in a real pseudo-terminal by keys, as a
// person at the shed monitor does. It has no code of its own but its tests.
package e2e

import (
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
)

// binary is the program under test, built once.
var binary = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "shedbell-e2e-")
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, "shedbell")
	cmd := exec.Command("go", "build", "-o", path, "shedbell")
	if out, err := cmd.CombinedOutput(); err != nil {
		return "", errors.New(string(out))
	}
	return path, nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	if path, err := binary(); err == nil {
		os.RemoveAll(filepath.Dir(path))
	}
	os.Exit(code)
}

// terminal is a running program with the screen that it draws.
type terminal struct {
	t    *testing.T
	cmd  *exec.Cmd
	tty  *os.File
	scr  *vt.SafeEmulator
	done chan error
}

// patience bounds every wait. It is long because a busy machine is no failure; a
// wait ends as soon as what it waits for is there.
const patience = 30 * time.Second

// start runs the program on a terminal of w by h cells.
func start(t *testing.T, w, h int, args ...string) *terminal {
	t.Helper()
	path, err := binary()
	if err != nil {
		t.Fatalf("build: %v", err)
	}
	cmd := exec.Command(path, args...)
	cmd.Env = append(os.Environ(), "TERM=xterm-256color", "LANG=C.UTF-8", "LC_ALL=C.UTF-8", "NO_COLOR=")
	tty, err := pty.StartWithSize(cmd, &pty.Winsize{Cols: uint16(w), Rows: uint16(h)})
	if err != nil {
		t.Fatal(err)
	}
	x := &terminal{t: t, cmd: cmd, tty: tty, scr: vt.NewSafeEmulator(w, h), done: make(chan error, 1)}
	go io.Copy(tty, x.scr) // what the terminal answers to queries
	go func() {
		io.Copy(x.scr, tty)
		x.done <- cmd.Wait()
	}()
	t.Cleanup(func() {
		if cmd.ProcessState == nil {
			cmd.Process.Kill()
		}
		tty.Close()
	})
	return x
}

// screen is what the terminal shows, without trailing spaces.
func (x *terminal) screen() string {
	rows := strings.Split(x.scr.String(), "\n")
	for i := range rows {
		rows[i] = strings.TrimRight(rows[i], " \r")
	}
	return strings.Join(rows, "\n")
}

// expect waits until the screen shows all the texts.
func (x *terminal) expect(texts ...string) {
	x.t.Helper()
	deadline := time.Now().Add(patience)
	for {
		screen := x.screen()
		missing := ""
		for _, text := range texts {
			if !strings.Contains(screen, text) {
				missing = text
			}
		}
		if missing == "" {
			return
		}
		if time.Now().After(deadline) {
			x.t.Fatalf("the screen never showed %q:\n%s", missing, screen)
		}
		time.Sleep(5 * time.Millisecond)
	}
}

// press sends keys one by one.
func (x *terminal) press(keys ...string) {
	x.t.Helper()
	for _, k := range keys {
		if k == "Enter" {
			k = "\r"
		}
		if _, err := io.WriteString(x.tty, k); err != nil {
			x.t.Fatal(err)
		}
	}
}

// quit leaves the board and waits for the program's end.
func (x *terminal) quit() {
	x.t.Helper()
	x.press("q")
	deadline := time.After(patience)
	again := time.NewTicker(300 * time.Millisecond)
	defer again.Stop()
	for {
		select {
		case err := <-x.done:
			if err != nil {
				x.t.Fatalf("the program ended with %v:\n%s", err, x.screen())
			}
			return
		case <-again.C: // steps run: it asks once
			x.press("q")
		case <-deadline:
			x.t.Fatalf("the program did not end:\n%s", x.screen())
		}
	}
}

// kill ends the program as a power cut does.
func (x *terminal) kill() {
	x.cmd.Process.Signal(syscall.SIGKILL)
	<-x.done
}
