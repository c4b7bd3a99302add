package journal

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"shedbell/line"
)

// The test binary starts itself again as another process: SHEDBELL_TEST_CHILD says
// what that one does, SHEDBELL_TEST_DIR where.
func TestMain(m *testing.M) {
	switch dir := os.Getenv("SHEDBELL_TEST_DIR"); os.Getenv("SHEDBELL_TEST_CHILD") {
	case "hold":
		childHolds(dir)
	case "append":
		childAppends(dir)
	case "":
		os.Exit(m.Run())
	}
}

func fail(err error) {
	if err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
}

func childHolds(dir string) {
	j, err := Open(dir, Options{})
	fail(err)
	fmt.Println("open")
	_, _ = io.Copy(io.Discard, os.Stdin) // until the parent lets go
	fail(j.CloseClean(time.Now()))
}

// childAppends continues the tale until it is killed and says so after each Append.
func childAppends(dir string) {
	j, err := Open(dir, Options{})
	fail(err)
	// Checkpoints fall much more often than they would, so that kills fall into them.
	_, err = j.w.Exec("PRAGMA wal_autocheckpoint = 25")
	fail(err)
	seed, err := strconv.ParseUint(os.Getenv("SHEDBELL_TEST_SEED"), 10, 64)
	fail(err)
	random := rand.New(rand.NewPCG(seed, 1))
	last := int(j.last.Load())
	records := tale(last + 3000)
	for last < len(records)-5 {
		n := 1 + random.IntN(4)
		fail(j.Append(ctx, records[last:last+n]))
		last += n
		fmt.Println(last)
		switch random.IntN(8) {
		case 0:
			fail(j.Beat(records[last-1].At))
		case 1:
			fail(j.SaveSnapshot(int64(last), make([]byte, random.IntN(30_000))))
		}
	}
	_, _ = io.Copy(io.Discard, os.Stdin)
}

func child(t *testing.T, what, dir string, seed uint64) (*exec.Cmd, io.WriteCloser, *bufio.Reader) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^$")
	cmd.Env = append(os.Environ(), "SHEDBELL_TEST_CHILD="+what, "SHEDBELL_TEST_DIR="+dir, fmt.Sprintf("SHEDBELL_TEST_SEED=%d", seed))
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	must(t, err)
	out, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	t.Cleanup(func() { _ = cmd.Process.Kill() })
	return cmd, in, bufio.NewReader(out)
}

func TestOnlyOneProcessWrites(t *testing.T) {
	dir := t.TempDir()
	cmd, in, out := child(t, "hold", dir, 0)
	if l, err := out.ReadString('\n'); l != "open\n" {
		t.Fatal(l, err)
	}
	refused := func() {
		t.Helper()
		_, err := Open(dir, Options{})
		var locked ErrLocked
		if !errors.As(err, &locked) || locked.Holder.PID != cmd.Process.Pid || locked.Holder.Since.IsZero() {
			t.Fatalf("%v, want ErrLocked by process %d", err, cmd.Process.Pid)
		}
		if !strings.Contains(err.Error(), "viewer") || !strings.Contains(err.Error(), strconv.Itoa(cmd.Process.Pid)) {
			t.Error(err)
		}
	}
	refused()
	if _, err := Salvage(dir, Options{}); !errors.As(err, new(ErrLocked)) {
		t.Errorf("salvage: %v, want ErrLocked", err)
	}
	v, err := OpenReadOnly(dir)
	must(t, err)
	must(t, v.Close())
	refused() // the viewer did not break the lock
	must(t, in.Close())
	must(t, cmd.Wait())
	must(t, open(t, dir).Close())
}

func TestLockOfAKilledProcessIsTakenOver(t *testing.T) {
	dir := t.TempDir()
	cmd, _, out := child(t, "hold", dir, 0)
	if l, err := out.ReadString('\n'); l != "open\n" {
		t.Fatal(l, err)
	}
	must(t, cmd.Process.Kill())
	_ = cmd.Wait()
	j := open(t, dir)
	if h := readHolder(j.dir + "/" + lockName); h.PID != os.Getpid() {
		t.Errorf("the lock names process %d, want %d", h.PID, os.Getpid())
	}
}

// TestKilledWhileAppending kills a writing process at random instants; whatever it
// had said was saved must be there. 30 kills, or SHEDBELL_KILLS of them.
func TestKilledWhileAppending(t *testing.T) {
	kills := 30
	if n, err := strconv.Atoi(os.Getenv("SHEDBELL_KILLS")); err == nil {
		kills = n
	}
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 2))
	dir, saved, beyond := t.TempDir(), 0, 0
	for i := range kills {
		if i%40 == 0 { // a journal that grows for ever would only make the test slow
			dir, saved = t.TempDir(), 0
		}
		acknowledged := max(saved, killOne(t, dir, seed+uint64(i), random))
		saved = survivors(t, dir, acknowledged)
		beyond += saved - acknowledged
		if t.Failed() {
			t.Fatalf("after kill %d", i+1)
		}
	}
	t.Logf("%d kills survived; %d records were on the disk before they could be acknowledged", kills, beyond)
}

// killOne returns the last number that the child acknowledged.
func killOne(t *testing.T, dir string, seed uint64, random *rand.Rand) int {
	cmd, _, out := child(t, "append", dir, seed)
	last, acks := 0, random.IntN(30)
	read := func() bool {
		l, err := out.ReadString('\n')
		if err != nil {
			return false
		}
		n, err := strconv.Atoi(strings.TrimSpace(l))
		if err != nil {
			t.Fatal(l)
		}
		last = n
		return true
	}
	for range acks {
		if !read() {
			t.Fatal("the child ended by itself")
		}
	}
	// A kill right after an acknowledgement would always meet the same few lines of
	// code. With no acknowledgement it falls into the start.
	wait := time.Duration(random.IntN(800)) * time.Microsecond
	if acks == 0 {
		wait = time.Duration(random.IntN(40)) * time.Millisecond
	}
	<-time.After(wait)
	must(t, cmd.Process.Kill())
	for read() { // said before it died
	}
	_ = cmd.Wait()
	return last
}

func survivors(t *testing.T, dir string, acknowledged int) int {
	t.Helper()
	j := open(t, dir)
	defer j.Close()
	got := replay(t, j, 0)
	if len(got) < acknowledged {
		t.Fatalf("%d records survived, %d were acknowledged", len(got), acknowledged)
	}
	requireSame(t, tale(len(got) + 1)[:len(got)], got)
	report, err := Check(dir)
	must(t, err)
	if !report.OK() {
		t.Fatal(report.Faults)
	}
	if seq, _, ok, err := j.LatestSnapshot(); err != nil || ok && seq > int64(len(got)) {
		t.Fatalf("snapshot of record %d: %v", seq, err)
	}
	next := int64(len(got)) + 1
	must(t, j.Append(ctx, []line.Record{tale(int(next))[next-1]})) // the line goes on
	return int(next)
}
