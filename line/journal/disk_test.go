package journal

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"shedbell/line"
)

func TestFullDiskLosesNothingAndRecovers(t *testing.T) {
	j := open(t, t.TempDir())
	records := tale(400)
	must(t, j.Append(ctx, records[:100]))
	_, err := j.w.Exec("PRAGMA max_page_count = 1") // SQLite then stops at the present size
	must(t, err)
	saved := 100
	for ; saved < 300; saved++ {
		if err = j.Append(ctx, records[saved:saved+1]); err != nil {
			break
		}
	}
	if !errors.Is(err, ErrDiskFull) || !strings.Contains(err.Error(), "Free some space") {
		t.Fatalf("after %d records: %v, want ErrDiskFull", saved, err)
	}
	must(t, j.Beat(dawn)) // goes on
	requireSame(t, records[:saved], replay(t, j, 0))
	_, err = j.w.Exec("PRAGMA max_page_count = 1000000")
	must(t, err)
	must(t, j.Append(ctx, records[saved:]))
	requireSame(t, records, replay(t, j, 0))
}

func TestJournalRemovedWhileRunning(t *testing.T) {
	j := open(t, t.TempDir())
	records := tale(4)
	must(t, j.Append(ctx, records[:2]))
	aside := j.path + ".aside"
	must(t, os.Rename(j.path, aside))
	if err := j.Append(ctx, records[2:]); !errors.Is(err, ErrGone) {
		t.Fatalf("%v, want ErrGone", err)
	}
	must(t, os.WriteFile(j.path, nil, 0o644))
	if err := j.Append(ctx, records[2:]); !errors.Is(err, ErrGone) {
		t.Fatalf("replaced: %v, want ErrGone", err)
	}
	must(t, os.Rename(aside, j.path))
	must(t, j.Append(ctx, records[2:]))
	requireSame(t, records, replay(t, j, 0))
}

func TestReadOnlyFolder(t *testing.T) {
	if os.Getuid() == 0 {
		t.Skip("root may write everywhere")
	}
	j := open(t, t.TempDir())
	must(t, j.Append(ctx, tale(5)))
	must(t, j.CloseClean(dawn))
	for _, path := range []string{j.path, filepath.Join(j.dir, lockName), filepath.Join(j.dir, beatName)} {
		must(t, os.Chmod(path, 0o444))
	}
	must(t, os.Chmod(j.dir, 0o555))
	defer func() { _ = os.Chmod(j.dir, 0o755) }()
	if _, err := Open(j.dir, Options{}); !errors.Is(err, ErrReadOnly) || !strings.Contains(err.Error(), "another data folder") {
		t.Errorf("%v, want ErrReadOnly", err)
	}
	v, err := OpenReadOnly(j.dir)
	must(t, err)
	defer v.Close()
	requireSame(t, tale(5), replay(t, v, 0))
}

func TestErrorsOfTheSystemAreExplained(t *testing.T) {
	for cause, want := range map[error]error{
		syscall.ENOSPC: ErrDiskFull, syscall.EROFS: ErrReadOnly, syscall.EACCES: ErrReadOnly,
		syscall.EPERM: ErrReadOnly, syscall.EIO: ErrDisk, syscall.ENOENT: ErrNoFile,
	} {
		err := explain("journal-doing.save", "/shed", &os.PathError{Op: "write", Path: "/shed", Err: cause})
		if !errors.Is(err, want) || !errors.Is(err, cause) || !strings.Contains(err.Error(), "/shed") {
			t.Errorf("%v became %v, want %v", cause, err, want)
		}
		if again := explain("journal-doing.open", "/other", err); again != err {
			t.Errorf("%v was explained twice: %v", err, again)
		}
	}
	file := filepath.Join(t.TempDir(), "file")
	must(t, os.WriteFile(file, nil, 0o644))
	if _, err := Open(filepath.Join(file, "data"), Options{}); err == nil || !strings.Contains(err.Error(), file) {
		t.Errorf("a folder below a file: %v", err)
	}
}

func TestUnknownEventIsNamed(t *testing.T) {
	j := open(t, t.TempDir())
	must(t, j.Append(ctx, tale(2)))
	w := row{seq: 3, grp: 3, kind: "lid-welded", data: []byte("{}")}
	w.sum = new(summer).sum(&w)
	_, err := j.w.Exec(insertRow, w.seq, w.grp, w.atNS, w.zoneS, w.by, w.undo, w.kind, w.data, w.sum)
	must(t, err)
	n := 0
	err = j.Replay(0, func(line.Record) error { n++; return nil })
	if n != 2 || err == nil || errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), `record 3`) || !strings.Contains(err.Error(), "lid-welded") {
		t.Errorf("%d records, then %v", n, err)
	}
}
