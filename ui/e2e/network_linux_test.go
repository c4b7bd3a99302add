package e2e

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// remote are the system calls that open a way off this machine, as strace names them.
var remote = regexp.MustCompile(`(?m)^.*\b(socket|connect|bind|listen|sendto|sendmsg)\(.*AF_(INET|INET6|NETLINK|PACKET|VSOCK).*$`)

// networkCalls runs the program under strace on a terminal and gives what it did on the
// network once it has ended.
func networkCalls(t *testing.T, keys func(x *terminal), args ...string) string {
	t.Helper()
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("there is no strace here")
	}
	path, err := binary()
	if err != nil {
		t.Fatalf("build: %v", err)
	}
	calls := filepath.Join(t.TempDir(), "calls")
	if out, err := exec.Command(strace, "-qq", "-e", "trace=network", "-o", calls, "true").CombinedOutput(); err != nil {
		t.Skipf("strace does not work here: %s", out)
	}
	x := startProgram(t, strace, 100, 30, append([]string{"-f", "-qq", "-e", "trace=network", "-o", calls, path}, args...)...)
	if keys != nil {
		keys(x)
	}
	select {
	case <-x.done:
	case <-time.After(patience):
		t.Fatalf("%q did not end:\n%s", args, x.screen())
	}
	data, err := os.ReadFile(calls)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// The board and the commands open no way to any network, whatever screen is shown.
func TestNoNetworkUnlessAsked(t *testing.T) {
	dir := t.TempDir()
	manyTrays(t, dir)
	calls := networkCalls(t, func(x *terminal) {
		x.expect("No day is open")
		x.press("Enter")
		x.expect("pea")
		x.press("Enter")
		x.expect("Cut PEA 1", "Day opened")
		x.press("Enter")
		x.expect("inish cutting PEA 1")
		for _, screen := range []string{"1", "2", "3", "4", "5", "7", "8"} {
			x.press("/")
			x.expect("other screens")
			x.press(screen, "\x1b") // also out of a form
			x.expect("inish cutting PEA 1")
		}
		x.press("q", "q")
	}, "--data", dir)
	if found := remote.FindString(calls); found != "" {
		t.Errorf("the board: %s", found)
	}
	for _, args := range [][]string{{"rehearse"}, {"check"}, {"plan", "--budget", "50ms"}, {"recipes", "export"}, {"--data", dir, "backup", filepath.Join(dir, "copy.db")}} {
		if found := remote.FindString(networkCalls(t, nil, args...)); found != "" {
			t.Errorf("%q: %s", args, found)
		}
	}
	// The control: what is asked for is seen.
	served := t.TempDir()
	if err := os.WriteFile(filepath.Join(served, "ssh_keys"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	calls = networkCalls(t, func(x *terminal) {
		x.expect("Served over SSH")
		x.press("q")
	}, "--data", served, "serve", "--listen", "127.0.0.1:0")
	if !strings.Contains(calls, `inet_addr("127.0.0.1")`) {
		t.Errorf("serving was not seen: %s", calls)
	}
	if strings.Contains(calls, "connect(") {
		t.Errorf("serving connects to others: %s", calls)
	}
}

// sockets counts the sockets that a process has open.
func sockets(t *testing.T, pid int) (n int) {
	t.Helper()
	entries, err := os.ReadDir(fmt.Sprintf("/proc/%d/fd", pid))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if to, err := os.Readlink(fmt.Sprintf("/proc/%d/fd/%s", pid, e.Name())); err == nil && strings.HasPrefix(to, "socket:") {
			n++
		}
	}
	return n
}

// The same, as the system sees it, where there is no strace: the board has no socket,
// and the board that serves has the one that it listens on.
func TestSocketsOfARunningBoard(t *testing.T) {
	dir := t.TempDir()
	x := start(t, 100, 30, "--data", dir)
	x.expect("No day is open")
	if n := sockets(t, x.cmd.Process.Pid); n != 0 {
		t.Errorf("the board has %d sockets", n)
	}
	if err := os.WriteFile(filepath.Join(dir, "ssh_keys"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	x.press("q")
	<-x.done
	x = start(t, 100, 30, "--data", dir, "serve", "--listen", "127.0.0.1:0")
	x.expect("Served over SSH")
	if n := sockets(t, x.cmd.Process.Pid); n != 1 {
		t.Errorf("the board that serves has %d sockets, want the one that it listens on", n)
	}
}
