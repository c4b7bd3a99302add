package journal

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line"
)

func TestBackupWhileWritingAndRestore(t *testing.T) {
	j := open(t, t.TempDir())
	records := tale(2000)
	must(t, j.Append(ctx, records[:500]))
	written := make(chan error, 1)
	go func() {
		for i := 500; i < 2000; i += 5 {
			if err := j.Append(ctx, records[i:i+5]); err != nil {
				written <- err
				return
			}
		}
		written <- nil
	}()
	copied := filepath.Join(t.TempDir(), "copy.db")
	must(t, j.BackupTo(copied))
	must(t, <-written)
	report, err := checkFile(copied)
	must(t, err)
	if !report.OK() || report.Records < 500 || report.Records%5 != 0 {
		t.Fatalf("%+v", report)
	}
	if _, err := os.Stat(copied + "-wal"); err == nil {
		t.Error("the copy needs a second file")
	}

	if _, err := RestoreFrom(copied, j.dir, Options{}); !errors.As(err, new(ErrLocked)) {
		t.Errorf("restoring below a running line: %v, want ErrLocked", err)
	}
	must(t, j.Close())
	kept, err := RestoreFrom(copied, j.dir, Options{Now: func() time.Time { return dawn }})
	must(t, err)
	again := open(t, j.dir)
	requireSame(t, records[:report.Records], replay(t, again, 0))
	if again.WasClean() {
		t.Error("after a restore nothing can be known to have ended cleanly")
	}
	if filepath.Base(kept) != "shedbell-replaced-20260504-073000.db" {
		t.Errorf("the old journal was kept as %s", kept)
	}
	old, err := checkFile(kept)
	if err != nil || !old.OK() || old.Records != 2000 {
		t.Errorf("the kept journal: %+v %v", old, err)
	}
}

func TestRestoreIntoANewFolder(t *testing.T) {
	j := open(t, t.TempDir())
	must(t, j.Append(ctx, tale(40)))
	copied := filepath.Join(t.TempDir(), "copy.db")
	must(t, j.BackupTo(copied))
	dir := filepath.Join(t.TempDir(), "new")
	kept, err := RestoreFrom(copied, dir, Options{})
	if err != nil || kept != "" {
		t.Fatal(kept, err)
	}
	requireSame(t, tale(40), replay(t, open(t, dir), 0))
}

func TestBadCopyIsNotRestored(t *testing.T) {
	j := open(t, t.TempDir())
	must(t, j.Append(ctx, tale(40)))
	copied := filepath.Join(t.TempDir(), "copy.db")
	must(t, j.BackupTo(copied))
	must(t, j.Close())
	before, err := os.ReadFile(j.path)
	must(t, err)
	empty := filepath.Join(t.TempDir(), "empty.db")
	must(t, os.WriteFile(empty, nil, 0o644))
	text := filepath.Join(t.TempDir(), "notes.txt")
	must(t, os.WriteFile(text, []byte(strings.Repeat("sunflower ", 50)), 0o644))
	rewrite(t, copied, func(b []byte) []byte {
		at := strings.LastIndex(string(b), "step-finished")
		b[at] ^= 1
		return b
	})
	for path, want := range map[string]error{empty: ErrForeign, text: ErrForeign, copied: ErrDamaged, "/nowhere/x.db": ErrNoFile} {
		if _, err := RestoreFrom(path, j.dir, Options{}); !errors.Is(err, want) {
			t.Errorf("%s: %v, want %v", path, err, want)
		}
	}
	if after, _ := os.ReadFile(j.path); string(after) != string(before) {
		t.Error("the journal was changed")
	}
}

func TestBackupKeepsAGoodCopyWhenItFails(t *testing.T) {
	j := open(t, t.TempDir())
	must(t, j.Append(ctx, tale(10)))
	copied := filepath.Join(t.TempDir(), "copy.db")
	must(t, j.BackupTo(copied))
	must(t, os.Mkdir(copied+".part", 0o755)) // in the way
	must(t, os.WriteFile(filepath.Join(copied+".part", "x"), nil, 0o644))
	must(t, j.Append(ctx, tale(20)[10:]))
	if err := j.BackupTo(copied); err == nil {
		t.Fatal("the copy cannot have been written")
	}
	if report, err := checkFile(copied); err != nil || !report.OK() || report.Records != 10 {
		t.Errorf("the copy from before: %+v %v", report, err)
	}
	must(t, os.RemoveAll(copied+".part"))
	must(t, j.BackupTo(copied))
	if report, err := checkFile(copied); err != nil || report.Records != 20 {
		t.Errorf("the new copy: %+v %v", report, err)
	}
	if err := j.BackupTo(j.path); !errors.Is(err, ErrForeign) {
		t.Errorf("onto itself: %v, want a refusal", err)
	}
}

func TestDailyBackupKeepsTheNewest(t *testing.T) {
	j := open(t, t.TempDir())
	for i := range 20 {
		at := dawn.AddDate(0, 0, i)
		seq := int64(i) + 1
		must(t, j.Append(ctx, []line.Record{{Seq: seq, Group: seq, At: at, Event: line.NoteAdded{}}}))
		for range 2 { // a second start on the same day
			_, err := j.DailyBackup(at, 14)
			must(t, err)
		}
	}
	copies, err := filepath.Glob(filepath.Join(j.dir, "backups", "*"))
	must(t, err)
	if len(copies) != 14 || filepath.Base(copies[0]) != "shedbell-2026-05-10.db" || filepath.Base(copies[13]) != "shedbell-2026-05-23.db" {
		t.Errorf("%d copies: %v", len(copies), copies)
	}
	if report, err := checkFile(copies[0]); err != nil || report.Records != 7 {
		t.Errorf("the oldest copy: %+v %v", report, err)
	}
}

// What the journal and its folder tell is for the account that keeps them; those of an
// earlier version are closed to others at the next start.
func TestOthersCannotRead(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	for range 2 {
		j, err := Open(dir, Options{})
		if err != nil {
			t.Fatal(err)
		}
		check := func(path string, most os.FileMode) {
			info, err := os.Stat(path)
			if err != nil {
				t.Fatal(err)
			}
			if got := info.Mode().Perm(); got&^most != 0 {
				t.Errorf("%s has mode %o, at most %o", path, got, most)
			}
		}
		check(dir, 0o700)
		all, err := os.ReadDir(dir)
		if err != nil || len(all) < 3 {
			t.Fatal(all, err)
		}
		for _, e := range all {
			check(filepath.Join(dir, e.Name()), 0o600)
		}
		if err := j.Close(); err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(filepath.Join(dir, dbName), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
