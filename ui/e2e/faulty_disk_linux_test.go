package e2e

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line"
)

// broken is a disk whose calls of the system are tampered with.
type broken struct {
	t     *testing.T
	cmd   *exec.Cmd
	calls string // file that tells of each
	ended chan error
}

// tamper has the kernel answer the program's calls on its journal as a broken disk
// does. strace(1) does it: see "Syscall tampering" in its manual page.
func (x *terminal) tamper(t *testing.T, dir, calls, how string) *broken {
	t.Helper()
	path, err := exec.LookPath("strace")
	if err != nil && os.Getenv("SHEDBELL_NEED_TOOLS") != "" {
		t.Fatal(err)
	}
	if err != nil {
		t.Skip("strace is not there to tamper with system calls")
	}
	b := &broken{t: t, calls: filepath.Join(t.TempDir(), "calls"), ended: make(chan error, 1)}
	args := []string{"-f", "-qq", "-o", b.calls, "-p", fmt.Sprint(x.cmd.Process.Pid), "-e", "trace=" + calls, "-e", "inject=" + calls + ":" + how}
	for _, name := range []string{"shedbell.db", "shedbell.db-wal", "shedbell.beat"} {
		args = append(args, "-P", filepath.Join(dir, name))
	}
	b.cmd = exec.Command(path, args...)
	if err := b.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	go func() {
		b.ended <- b.cmd.Wait()
		close(b.ended)
	}()
	t.Cleanup(b.mend)
	for deadline := time.Now().Add(patience); !traced(x.cmd.Process.Pid); time.Sleep(5 * time.Millisecond) {
		select {
		case err := <-b.ended:
			t.Skipf("system calls cannot be tampered with here: %v", err)
		default:
		}
		if time.Now().After(deadline) {
			t.Fatal("strace never took hold")
		}
	}
	return b
}

// mend lets the program have its disk back.
func (b *broken) mend() {
	b.cmd.Process.Signal(os.Interrupt)
	<-b.ended
}

// faults is how many calls have been tampered with.
func (b *broken) faults() int {
	b.t.Helper()
	data, err := os.ReadFile(b.calls)
	if err != nil {
		b.t.Fatal(err)
	}
	return strings.Count(string(data), "(INJECTED)") + strings.Count(string(data), "(DELAYED)")
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
// system calls, once or as often as SHEDBELL_FAULTS says in each way: clocks and keys
// go on, what is done is marked, and it is saved when the disk comes back.
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
			disk := x.tamper(t, dir, c.calls, c.how)
			worksUnsaved(t, x)
			x.expect(c.says)
			x.press("7", "Enter") // a refusal needs no disk
			x.expect("Not now: no tray is ready for tray wash")
			x.press("\x1b")
			x.expect("inish cutting PEA 1")
			x.endAtOnce()
			x.expect("PEA 1 into the tub", "ot yet saved")
			again := 0
			for again == 0 || disk.faults() < amount("SHEDBELL_FAULTS", 1) {
				x.press("Enter")
				x.expect("Cut PEA 2, 2 trays")
				x.press("0", "1", "9", "Enter", "0")
				x.expect("Is the tub blower off?")
				x.press("Enter")
				x.gone("Is the tub blower off?")
				x.expect("PEA 1 into the tub")
				again++
			}
			if c.says == "" {
				savedAgain(x) // it takes its time, and gets there
			}
			stood := pause()
			disk.mend()
			savedAgain(x)
			x.press("Enter")
			x.expect("PEA 1 started at the tub")
			savedAgain(x)
			x.kill()
			kept := records(t, dir)
			if n, undone := len(eventsOf[line.StepStarted](kept)), len(eventsOf[line.Corrected](kept)); n != 2+again || undone != again {
				t.Errorf("%d starts and %d undos are on the disk, want %d and %d", n, undone, 2+again, again)
			}
			integrity(t, dir)
			if disk.faults() == 0 {
				t.Error("nothing was tampered with")
			}
			t.Logf("%d calls of the system tampered with while %d actions were done, none lost; the screen never stood still for longer than %s",
				disk.faults(), 2+3*again, stood.Round(time.Millisecond))
		})
	}
}
