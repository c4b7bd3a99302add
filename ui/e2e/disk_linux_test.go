package e2e

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"syscall"
	"testing"
	"time"

	"shedbell/line"
)

// smallDisk mounts a file system of 2 MB, which takes root.
func smallDisk(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=2m"); err != nil {
		t.Skipf("a small disk cannot be mounted here: %v", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(dir, syscall.MNT_DETACH) })
	return dir
}

func opened(t *testing.T, dir string) *terminal {
	t.Helper()
	manyTrays(t, dir)
	x := start(t, 100, 30, "--data", dir)
	x.expect("No day is open")
	x.press("Enter")
	x.expect("pea")
	x.press("Enter")
	x.expect("Cut PEA 1", "Day opened")
	return x
}

// onDisk counts the steps that the journal knows of.
func onDisk(t *testing.T, dir string) (started int) {
	t.Helper()
	return len(eventsOf[line.StepStarted](records(t, dir)))
}

// worksUnsaved starts a step while the disk refuses: the board shows it, marked, and
// goes on counting.
func worksUnsaved(t *testing.T, x *terminal) {
	t.Helper()
	x.press("Enter")
	x.expect("ot yet saved", "inish cutting PEA 1")
	for deadline := time.Now().Add(patience); !secondsGone.MatchString(x.screen()); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("the seconds stand still:\n%s", x.screen())
		}
	}
}

// secondsGone is a step that has gone on for two seconds and more.
var secondsGone = regexp.MustCompile(`[Bb]y hand 0:(0[2-9]|[1-5]\d)`)

// savedAgain waits until the mark is gone.
func savedAgain(x *terminal) {
	x.t.Helper()
	deadline := time.Now().Add(patience)
	for {
		if s := x.frame(); s != "" && !containsUnsaved(s) {
			return
		}
		if time.Now().After(deadline) {
			x.t.Fatalf("still marked as not saved:\n%s", x.screen())
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// A disk that is full for real: nothing is written, nothing stands still, and what
// was done is saved once there is room.
func TestAFullDisk(t *testing.T) {
	dir := smallDisk(t)
	x := opened(t, dir)
	ballast := filepath.Join(dir, "ballast")
	fill(t, ballast)
	// The write-ahead log may have room left in its pages; notes use it up.
	for range 60 {
		x.press("7", "Enter") // refused, which is kept
	}
	x.expect("ot yet saved")
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	savedAgain(x)
	x.quit()
	integrity(t, dir)
}

func fill(t *testing.T, path string) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	block := make([]byte, 4096)
	for {
		if _, err := f.Write(block); err != nil {
			return // ENOSPC
		}
	}
}

// A start on a read-only disk says in words what is wrong and touches nothing.
func TestAReadOnlyDisk(t *testing.T) {
	dir := smallDisk(t)
	x := opened(t, dir)
	x.press("Enter")
	x.expect("PEA 1 started")
	x.kill()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Skipf("cannot remount here: %v", err)
	}
	x = start(t, 100, 30, "--data", dir)
	x.expect("read-only")
	if err := <-x.done; err == nil {
		t.Error("the program said nothing by its exit code")
	}
	if err := syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT, ""); err != nil {
		t.Fatal(err)
	}
	x = start(t, 100, 30, "--data", dir)
	x.expect("inish cutting PEA 1")
	x.kill()
}

// Files that can no longer be written while the line runs, root or not: chattr(1)
// makes them immutable, and the kernel refuses writes even to who has them open.
func TestADiskThatBecomesReadOnly(t *testing.T) {
	dir := shortDir(t)
	x := opened(t, dir)
	immutable := func(flag string) error {
		for _, name := range []string{"shedbell.db", "shedbell.db-wal", "shedbell.beat"} {
			if out, err := exec.Command("chattr", flag, filepath.Join(dir, name)).CombinedOutput(); err != nil {
				return fmt.Errorf("%w: %s", err, out)
			}
		}
		return nil
	}
	if err := immutable("+i"); err != nil {
		t.Skipf("files cannot be made immutable here: %v", err)
	}
	t.Cleanup(func() { _ = immutable("-i") })
	worksUnsaved(t, x)
	x.expect("cannot be written")
	x.endAtOnce()
	x.expect("Put PEA 1 into the tub", "ot yet saved")
	if err := immutable("-i"); err != nil {
		t.Fatal(err)
	}
	savedAgain(x)
	x.press("Enter")
	x.expect("PEA 1 started at the tub")
	savedAgain(x)
	x.kill()
	if n := onDisk(t, dir); n != 2 {
		t.Errorf("%d steps on the disk, want 2", n)
	}
	integrity(t, dir)
}

// A journal that is removed while the line runs, and put back.
func TestADiskThatIsRemoved(t *testing.T) {
	dir := t.TempDir()
	x := opened(t, dir)
	path := filepath.Join(dir, "shedbell.db")
	if err := os.Rename(path, path+".away"); err != nil {
		t.Fatal(err)
	}
	worksUnsaved(t, x)
	if err := os.Rename(path+".away", path); err != nil {
		t.Fatal(err)
	}
	savedAgain(x)
	x.kill()
	if n := onDisk(t, dir); n != 1 {
		t.Errorf("%d steps on the disk, want 1", n)
	}
	integrity(t, dir)
}
