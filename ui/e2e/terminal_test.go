// Package e2e drives the real program in a real pseudo-terminal by keys, as a
// person at the shed monitor does. It has no code of its own but its tests.
package e2e

import (
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
)

// binary is the program under test, built once.
var binary = sync.OnceValues(func() (string, error) { return build() })

// faultyBinary is the same program with one more screen, which panics.
var faultyBinary = sync.OnceValues(func() (string, error) { return build("-tags", "shedbell_faulty") })

// built are the folders of the programs, which are removed in the end.
var built []string

func build(flags ...string) (string, error) {
	dir, err := os.MkdirTemp("", "shedbell-e2e-")
	if err != nil {
		return "", err
	}
	built = append(built, dir)
	path := filepath.Join(dir, "shedbell")
	cmd := exec.Command("go", append(append([]string{"build"}, flags...), "-o", path, "shedbell")...)
	if out, err := cmd.CombinedOutput(); err != nil {
		return "", errors.New(string(out))
	}
	return path, nil
}

func TestMain(m *testing.M) {
	code := m.Run()
	for _, dir := range built {
		os.RemoveAll(dir)
	}
	os.Exit(code)
}

// terminal is a running program with the screen that it draws.
type terminal struct {
	t    testing.TB
	cmd  *exec.Cmd
	tty  *os.File
	scr  *vt.SafeEmulator
	done chan error

	mu    sync.Mutex
	raw   bytes.Buffer       // everything that the program has sent
	watch func(at time.Time) // told when something has arrived, nil: nobody

	key     string    // pressed last
	pressed time.Time // when it was, or when the program first showed that it had it
	had     bool      // it has shown that
	entered time.Time // the same of the last Enter

	noise func() string // what the terminal sends by itself before each key; nil: nothing
}

// Write takes what the program sends.
func (x *terminal) Write(p []byte) (int, error) {
	at := time.Now()
	x.mu.Lock()
	defer x.mu.Unlock()
	x.raw.Write(p)
	n, err := x.scr.Write(p)
	if x.watch != nil {
		x.watch(at)
	}
	return n, err
}

// sent is everything that the program has sent so far.
func (x *terminal) sent() string {
	x.mu.Lock()
	defer x.mu.Unlock()
	return x.raw.String()
}

// patience bounds every wait. It is long because a busy machine is no failure; a
// wait ends as soon as what it waits for is there.
const patience = 30 * time.Second

// start runs the program on a terminal of w by h cells.
func start(t testing.TB, w, h int, args ...string) *terminal {
	t.Helper()
	path, err := binary()
	if err != nil {
		t.Fatalf("build: %v", err)
	}
	return startProgram(t, path, w, h, args...)
}

// toTheBoard goes past what stands before the board: on an empty data folder the ways to
// begin, in the demo the people who work it.
func (x *terminal) toTheBoard(args []string, empty bool) {
	x.t.Helper()
	switch {
	case empty:
		x.expect("shedbell   ", " 4 ")
		x.press("4")
		for end := time.Now().Add(patience); strings.Contains(x.screen(), "shedbell   ") && time.Now().Before(end); {
			time.Sleep(5 * time.Millisecond)
		}
	case slices.Contains(args, "demo") && !slices.Contains(args, "--practice"):
		x.expect("plays by itself")
		x.press("x")
		x.expect("yours now")
		x.press("x") // which no screen has; Enter would let it play on
		x.expect("does nothing here")
	}
}

// commands are those that begin with no question.
var commands = []string{"check", "setup", "watch", "serve", "records", "backup", "restore", "rehearse", "plan", "amps", "demo"}

// onEmptyFolder says that a board is opened on a data folder without anything in it.
func onEmptyFolder(args []string) bool {
	i := slices.Index(args, "--data")
	if i < 0 || slices.ContainsFunc(args, func(a string) bool { return slices.Contains(commands, a) }) || slices.Contains(args, "--line") {
		return false
	}
	_, noLine := os.Stat(filepath.Join(args[i+1], "line.toml"))
	_, noJournal := os.Stat(filepath.Join(args[i+1], "shedbell.db"))
	return noLine != nil && noJournal != nil
}

func startProgram(t testing.TB, path string, w, h int, args ...string) *terminal {
	t.Helper()
	empty := onEmptyFolder(args)
	x := begun(t, path, w, h, args...)
	x.toTheBoard(args, empty)
	return x
}

// begun runs the program in a terminal, whatever it shows first.
func begun(t testing.TB, path string, w, h int, args ...string) *terminal {
	t.Helper()
	cmd := exec.Command(path, args...)
	cmd.Env = append(os.Environ(), "TERM=xterm-256color", "LANG=C.UTF-8", "LC_ALL=C.UTF-8", "NO_COLOR=", "CI=")
	tty, err := pty.StartWithSize(cmd, &pty.Winsize{Cols: uint16(w), Rows: uint16(h)})
	if err != nil {
		t.Fatal(err)
	}
	tty = closable(t, tty)
	x := &terminal{t: t, cmd: cmd, tty: tty, scr: vt.NewSafeEmulator(w, h), done: make(chan error, 1)}
	go io.Copy(tty, x.scr) // what the terminal answers to queries
	go func() {
		io.Copy(x, tty)
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

// closable is the terminal's end as a file whose closing does not wait for a reading.
func closable(t testing.TB, tty *os.File) *os.File {
	t.Helper()
	defer tty.Close()
	fd, err := syscall.Dup(int(tty.Fd()))
	if err == nil {
		err = syscall.SetNonblock(fd, true)
	}
	if err != nil {
		t.Fatal(err)
	}
	return os.NewFile(uintptr(fd), tty.Name())
}

// frameEnd is where the program puts the cursor after each frame.
var frameEnd = regexp.MustCompile("\x1b\\[[0-9]*(;[0-9]*)?H$")

// frame is the screen if it shows a whole frame, and empty while one is being
// drawn.
func (x *terminal) frame() string {
	x.mu.Lock()
	defer x.mu.Unlock()
	raw := x.raw.Bytes()
	if !frameEnd.Match(raw[max(0, len(raw)-12):]) {
		return ""
	}
	return x.text()
}

// screen is what the terminal shows, without trailing spaces.
func (x *terminal) screen() string {
	x.mu.Lock()
	defer x.mu.Unlock()
	return x.text()
}

func (x *terminal) text() string {
	rows := strings.Split(x.scr.String(), "\n")
	for i := range rows {
		rows[i] = strings.TrimRight(rows[i], " \r")
	}
	return strings.Join(rows, "\n")
}

// expect waits until the screen shows all the texts.
func (x *terminal) expect(texts ...string) {
	x.t.Helper()
	x.expectWithin(patience, texts...)
}

// pressUntil presses a key until a text is there.
func (x *terminal) pressUntil(key, text string) {
	x.t.Helper()
	for deadline := time.Now().Add(patience); !strings.Contains(x.screen(), text); {
		if time.Now().After(deadline) {
			x.t.Fatalf("%s never brought %q:\n%s", key, text, x.screen())
		}
		x.press(key)
		for i := 0; i < 400 && !strings.Contains(x.screen(), text); i++ {
			time.Sleep(5 * time.Millisecond)
		}
	}
}

// gone waits until a text is not there any more.
func (x *terminal) gone(text string) {
	x.t.Helper()
	for deadline := time.Now().Add(patience); strings.Contains(x.screen(), text); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(deadline) {
			x.t.Fatalf("the screen still shows %q:\n%s", text, x.screen())
		}
	}
	x.pressed, x.entered = time.Now(), time.Now()
}

func (x *terminal) expectWithin(d time.Duration, texts ...string) {
	x.t.Helper()
	deadline := time.Now().Add(d)
	for {
		screen := x.screen()
		missing := ""
		for _, text := range texts {
			if !strings.Contains(screen, text) {
				missing = text
			}
		}
		if missing == "" {
			if !x.had {
				x.had, x.pressed = true, time.Now() // the program had the key by now, and perhaps no sooner
				if x.key == "\r" {
					x.entered = x.pressed
				}
			}
			return
		}
		if time.Now().After(deadline) {
			x.t.Fatalf("the screen never showed %q:\n%s", missing, screen)
		}
		time.Sleep(5 * time.Millisecond)
	}
}

// press sends keys one by one, each when it cannot be taken for a doubled press.
func (x *terminal) press(keys ...string) {
	x.t.Helper()
	for _, k := range keys {
		if k == "Enter" {
			k = "\r"
		}
		switch {
		case k == "\r": // whatever was pressed in between
			time.Sleep(time.Until(x.entered.Add(1050 * time.Millisecond)))
			x.entered = time.Now()
		case k == x.key && k != "+" && k != "-":
			time.Sleep(time.Until(x.pressed.Add(350 * time.Millisecond)))
		}
		x.key, x.pressed, x.had = k, time.Now(), false
		if x.noise != nil {
			x.send(x.noise())
		}
		x.send(k)
	}
}

func (x *terminal) send(s string) {
	x.t.Helper()
	if _, err := io.WriteString(x.tty, s); err != nil {
		x.t.Fatal(err)
	}
}

// endAtOnce ends work by hand long before anybody could have done it.
func (x *terminal) endAtOnce() {
	x.t.Helper()
	x.press("Enter")
	x.expect("Begun only")
	x.press("Enter")
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

// containsUnsaved says whether a screen marks something as not yet saved.
func containsUnsaved(screen string) bool { return strings.Contains(screen, "ot yet saved") }
