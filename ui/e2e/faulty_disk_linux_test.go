package e2e

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// tamper has the kernel answer the program's calls on its journal as a broken disk
// does, until the function that it returns is called; that gives how many calls were
// tampered with. strace(1) does it: see "Syscall tampering" in its manual page.
func (x *terminal) tamper(dir, calls, how string) (mend func() int) {
	x.t.Helper()
	path, err := exec.LookPath("strace")
	if err != nil {
		x.t.Skip("strace is not there to tamper with system calls")
	}
	said := filepath.Join(x.t.TempDir(), "calls")
	args := []string{"-f", "-qq", "-o", said, "-p", fmt.Sprint(x.cmd.Process.Pid), "-e", "trace=" + calls, "-e", "inject=" + calls + ":" + how}
	for _, name := range []string{"shedbell.db", "shedbell.db-wal", "shedbell.beat"} {
		args = append(args, "-P", filepath.Join(dir, name))
	}
	cmd := exec.Command(path, args...)
	if err := cmd.Start(); err != nil {
		x.t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	for deadline := time.Now().Add(patience); !traced(x.cmd.Process.Pid); time.Sleep(5 * time.Millisecond) {
		select {
		case err := <-ended:
			x.t.Skipf("system calls cannot be tampered with here: %v", err)
		default:
		}
		if time.Now().After(deadline) {
			x.t.Fatal("strace never took hold")
		}
	}
	once := false
	mend = func() int {
		if !once {
			once = true
			cmd.Process.Signal(os.Interrupt)
			<-ended
		}
		data, err := os.ReadFile(said)
		if err != nil {
			x.t.Fatal(err)
		}
		return strings.Count(string(data), "(INJECTED)") + strings.Count(string(data), "(DELAYED)")
	}
	x.t.Cleanup(func() { mend() })
	return mend
}

// traced says whether another process has taken hold of every thread of one.
func traced(pid int) bool {
	all, err := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/status", pid))
	if err != nil || len(all) == 0 {
		return false
	}
	for _, path := range all {
		if data, err := os.ReadFile(path); err == nil && strings.Contains(string(data), "TracerPid:\t0\n") {
			return false
		}
	}
	return true
}

// pauses begins to look for times in which the program sends nothing; the function
// that it returns gives the longest so far.
func (x *terminal) pauses() func() time.Duration {
	x.mu.Lock()
	defer x.mu.Unlock()
	var longest time.Duration
	last := time.Now()
	x.watch = func(at time.Time) { longest, last = max(longest, at.Sub(last)), at }
	return func() time.Duration {
		x.mu.Lock()
		defer x.mu.Unlock()
		return max(longest, time.Since(last))
	}
}

// shortDir is a folder whose name leaves room on the screen for what is said of it.
func shortDir(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "shed")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

// TestADiskThatFails takes the disk away from the running program by answering its
// system calls: clocks and keys go on, what is done is marked, and it is saved when
// the disk comes back.
func TestADiskThatFails(t *testing.T) {
	const writes = "pwrite64,write,fsync,fdatasync,ftruncate"
	for _, c := range []struct{ name, calls, how, says string }{
		{"becomes read-only", "openat," + writes, "error=EROFS", "cannot be written"},
		{"is full", writes, "error=ENOSPC", "is full"},
		{"gives errors", writes, "error=EIO", "gives errors or has been removed"},
		{"gives errors when it has to write for good", "fsync,fdatasync", "error=EIO", "gives errors or has been removed"},
		{"takes two seconds", "fsync,fdatasync", "delay_enter=2000000", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			dir := shortDir(t)
			x := opened(t, dir)
			pause := x.pauses()
			mend := x.tamper(dir, c.calls, c.how)
			worksUnsaved(t, x)
			x.expect(c.says)
			x.press("7", "Enter") // a refusal needs no disk
			x.expect("Not now: 0 trays are ready for tray-wash")
			x.press("\x1b")
			x.expect("Finish cutting PEA 1")
			x.press("Enter")
			x.expect("PEA 1 into the tub", "ot yet saved")
			if c.says == "" {
				savedAgain(x) // it takes its time, and gets there
			}
			stood := pause()
			faults := mend()
			savedAgain(x)
			x.press("Enter")
			x.expect("PEA 1 started at the tub")
			savedAgain(x)
			x.kill()
			if n := onDisk(t, dir); n != 2 {
				t.Errorf("%d steps on the disk, want 2", n)
			}
			integrity(t, dir)
			if faults == 0 {
				t.Error("nothing was tampered with")
			}
			t.Logf("%d calls of the system tampered with, nothing lost; the screen never stood still for longer than %s", faults, stood.Round(time.Millisecond))
		})
	}
}
