package journal

import (
	"database/sql"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// vacuumInto writes a consistent copy of a journal that may be in use.
func vacuumInto(db *sql.DB, to string) error {
	if _, err := db.Exec("VACUUM INTO ?", to); err != nil {
		return err
	}
	return syncFile(to)
}

// BackupTo writes a copy of the journal, consistent while the line runs, reads it
// back and checks it, and only then gives it its name: a file there before is
// replaced by a good one or not at all. It needs no side files.
func (j *Journal) BackupTo(path string) error {
	same, err := sameFile(path, j.path)
	if err != nil {
		return explain("journal-doing.back-up", path, err)
	}
	if same {
		return newFault(ErrForeign, "journal.itself", path)
	}
	part := path + ".part"
	if err := removeDB(part); err != nil {
		return explain("journal-doing.back-up", part, err)
	}
	db, err := openSQL(j.path, "ro", []string{"busy_timeout(5000)"})
	if err != nil {
		return explain("journal-doing.back-up", j.path, err)
	}
	defer db.Close()
	if err := vacuumInto(db, part); err != nil {
		_ = removeDB(part)
		return explain("journal-doing.back-up", part, err)
	}
	report, err := checkFile(part)
	if err == nil && !report.OK() {
		err = damaged(nil, "journal.copy-not-whole", report.Faults[0])
	}
	if err == nil {
		err = os.Rename(part, path)
	}
	if err != nil {
		_ = removeDB(part)
		return explain("journal-doing.back-up", path, err)
	}
	return explain("journal-doing.back-up", path, syncDir(filepath.Dir(path)))
}

func sameFile(a, b string) (bool, error) {
	ia, err := os.Stat(a)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	ib, err := os.Stat(b)
	return err == nil && os.SameFile(ia, ib), err
}

// DailyBackup writes the copy of now's calendar day into the folder backups beside
// the journal, if it is not there yet, and removes copies beyond the newest keep.
func (j *Journal) DailyBackup(now time.Time, keep int) (path string, err error) {
	dir := filepath.Join(j.dir, "backups")
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", explain("journal-doing.back-up", dir, err)
	}
	path = filepath.Join(dir, "shedbell-"+now.Format(time.DateOnly)+".db")
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		if err := j.BackupTo(path); err != nil {
			return "", err
		}
	}
	copies, err := filepath.Glob(filepath.Join(dir, "shedbell-????-??-??.db"))
	if err != nil {
		return path, err
	}
	slices.SortFunc(copies, func(a, b string) int { return strings.Compare(b, a) })
	for _, old := range copies[min(max(keep, 1), len(copies)):] {
		if err := os.Remove(old); err != nil {
			return path, explain("journal-doing.remove-copy", old, err)
		}
	}
	return path, nil
}

// RestoreFrom puts a copy that BackupTo wrote in the place of a data folder's
// journal. The copy is checked first; the journal that was there is kept under the
// name that is returned, empty when there was none. It needs the writer's lock.
func RestoreFrom(path, dir string, opts Options) (kept string, err error) {
	report, err := checkCopy(path)
	if err != nil {
		return "", err
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", explain("journal-doing.make-folder", dir, err)
	}
	if err := local(dir); err != nil {
		return "", err
	}
	lock, err := takeLock(dir, opts.now())
	if err != nil {
		return "", err
	}
	defer lock.release()
	fresh := filepath.Join(dir, dbName+".restored")
	if err := removeDB(fresh); err != nil {
		return "", explain("journal-doing.restore", fresh, err)
	}
	if err := copyFile(path, fresh); err != nil {
		return "", explain("journal-doing.restore", fresh, err)
	}
	again, err := checkFile(fresh)
	if err == nil && (!again.OK() || again.Last != report.Last) {
		err = damaged(nil, "journal.copy-not-written", path)
	}
	if err == nil {
		foldLog(filepath.Join(dir, dbName))
		kept, err = swapIn(fresh, dir, "replaced", stamp(opts.now()))
	}
	if err == nil {
		err = removeBeats(dir)
	}
	return kept, explain("journal-doing.restore", dir, err)
}

func checkCopy(path string) (CheckReport, error) {
	info, err := os.Stat(path)
	if err == nil && info.Size() == 0 {
		err = newFault(ErrForeign, "journal.empty-copy", path)
	}
	if err == nil && !startsAsDatabase(path) {
		err = newFault(ErrForeign, "journal.no-copy", path)
	}
	if err != nil {
		return CheckReport{}, explain("journal-doing.restore", path, err)
	}
	report, err := checkFile(path)
	if err == nil && !report.OK() {
		err = newFault(ErrDamaged, "journal.copy-damaged", path, report.Faults[0])
	}
	return report, explain("journal-doing.restore", path, err)
}

// startsAsDatabase says whether a file begins with the name that all of SQLite's
// have (section 1.3.1 of https://sqlite.org/fileformat2.html). What cannot be read is
// left to the checks that follow.
func startsAsDatabase(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return true
	}
	defer f.Close()
	var name [16]byte
	_, err = io.ReadFull(f, name[:])
	return err == nil && string(name[:]) == "SQLite format 3\x00"
}

// foldLog brings the write-ahead log into the file, so that what is kept is one
// file. Where that fails both are kept.
func foldLog(path string) {
	if _, err := os.Stat(path); err != nil {
		return
	}
	if db, err := openSQL(path, "rw", writerPragmas); err == nil {
		_, _ = db.Exec("PRAGMA wal_checkpoint(TRUNCATE)")
		_ = db.Close()
	}
}

// removeBeats forgets the heartbeat of another journal; the next start then takes
// what ran for interrupted.
func removeBeats(dir string) error {
	err := os.Remove(filepath.Join(dir, beatName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return errors.Join(err, syncDir(dir))
}
