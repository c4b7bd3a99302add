// Package journal keeps what happened on the line: events go into one SQLite file
// in the data folder and come back in the same order.
//
// An event is on the disk when Append returns. There is one writer, by a lock that
// the system releases when its process ends for whatever reason, and any number of
// viewers. Everything but the events is derived from them and can be made again.
package journal

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"time"
)

// dbName is the journal's file in the data folder.
const dbName = "shedbell.db"

// Options are what a journal takes from its surroundings.
type Options struct {
	Now func() time.Time // names kept files and the lock's holder; nil for time.Now
}

func (o Options) now() time.Time {
	if o.Now != nil {
		return o.Now()
	}
	return time.Now()
}

// Journal is an open journal. Its methods may be called from several goroutines.
type Journal struct {
	dir, path string
	lock      *writerLock // nil for a viewer
	w         *sql.DB     // the only connection that writes; nil for a viewer
	r         *sql.DB
	insert    *sql.Stmt
	identity  os.FileInfo // the file as it was opened

	mu    sync.Mutex // one write at a time
	sums  summer
	last  atomic.Int64 // highest number on the disk
	beats *beatFile

	found  beat // as the last program left it
	hadAny bool // found or some record exists
}

// Open opens the journal in a data folder for writing, and makes both where they
// do not exist. Its error is ErrLocked when another program is the writer,
// ErrNewer, ErrNetworkFolder, or one that errors.Is knows as ErrDamaged (Salvage
// recovers), ErrDiskFull, ErrReadOnly, ErrDisk or ErrForeign.
func Open(dir string, opts Options) (*Journal, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, explain("journal-doing.make-folder", dir, err)
	}
	if err := local(dir); err != nil {
		return nil, err
	}
	lock, err := takeLock(dir, opts.now())
	if err != nil {
		return nil, err
	}
	j := &Journal{dir: dir, path: filepath.Join(dir, dbName), lock: lock}
	if err := j.openWriter(opts); err != nil {
		_ = j.Close()
		return nil, explain("journal-doing.open", j.path, err)
	}
	return j, nil
}

// keepPrivate makes the journal where there is none, and keeps it and what belongs to it
// from other accounts of the machine: it tells who worked when, and who bought what.
// SQLite gives its side files the mode of the journal.
func keepPrivate(dir string) error {
	f, err := os.OpenFile(filepath.Join(dir, dbName), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	for _, name := range []string{dbName, dbName + "-wal", dbName + "-shm", lockName, beatName} {
		path := filepath.Join(dir, name)
		if info, err := os.Stat(path); err == nil && info.Mode().Perm()&0o077 != 0 {
			_ = os.Chmod(path, info.Mode().Perm()&^0o077) // another account's file, or a disk without modes, stays as it is
		}
	}
	return nil
}

// OpenReadOnly opens the journal for a viewer, beside a writer or without one.
func OpenReadOnly(dir string) (*Journal, error) {
	if err := local(dir); err != nil {
		return nil, err
	}
	j := &Journal{dir: dir, path: filepath.Join(dir, dbName)}
	if err := j.openViewer(); err != nil {
		_ = j.Close()
		return nil, explain("journal-doing.open", j.path, err)
	}
	return j, nil
}

func (j *Journal) openWriter(opts Options) error {
	if err := checkHeader(j.path); err != nil {
		return err
	}
	broken, err := logBroken(j.path) // before SQLite drops what it cannot follow
	if err != nil {
		return err
	}
	if broken {
		return damaged(nil, "journal.last-damaged", j.path)
	}
	if err := keepPrivate(j.dir); err != nil {
		return err
	}
	if j.w, err = openWriter(j.path); err != nil {
		return err
	}
	version, err := checkSchema(j.path, j.w)
	if err != nil {
		return err
	}
	if err := upgrade(j.w, j.dir, version, migrations, opts.now()); err != nil {
		return err
	}
	if err := syncDir(j.dir); err != nil {
		return err
	}
	if j.r, err = openReader(j.path); err != nil {
		return err
	}
	if j.identity, err = os.Stat(j.path); err != nil {
		return err
	}
	if j.insert, err = j.w.Prepare(insertRow); err != nil {
		return err
	}
	if j.beats, err = openBeats(j.dir); err != nil {
		return err
	}
	if err := j.readEnd(j.beats.newest); err != nil {
		return err
	}
	return j.beats.markRunning()
}

func (j *Journal) openViewer() error {
	var err error
	if j.identity, err = os.Stat(j.path); err != nil {
		return err
	}
	if err := checkHeader(j.path); err != nil {
		return err
	}
	if j.r, err = openReader(j.path); err != nil {
		return err
	}
	version, err := checkSchema(j.path, j.r)
	if err != nil {
		return err
	}
	if version < len(migrations) {
		return newFault(ErrNoFile, "journal.not-ready", j.path)
	}
	found, err := readBeats(j.dir)
	if err != nil {
		return err
	}
	return j.readEnd(found)
}

// upgrade migrates a journal of an older version, of which it keeps a copy.
func upgrade(db *sql.DB, dir string, version int, steps []string, now time.Time) error {
	if version > 0 && version < len(steps) {
		kept := freeName(dir, "shedbell-older-"+stamp(now), ".db")
		if err := vacuumInto(db, kept); err != nil {
			return err
		}
	}
	return migrate(db, version, steps)
}

// readEnd finds how far the journal and the program before this one came.
func (j *Journal) readEnd(found beat) error {
	var w row
	err := j.r.QueryRow("SELECT seq, at_ns, zone_s FROM events ORDER BY seq DESC LIMIT 1").Scan(&w.seq, &w.atNS, &w.zoneS)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return err
	}
	if j.w != nil && found.seq > w.seq {
		return damaged(nil, "journal.ends-early", j.path, w.seq, found.seq, beatName)
	}
	j.last.Store(w.seq)
	j.found, j.hadAny = found, found.number > 0 || w.seq > 0
	if at := w.at(); w.seq > 0 && at.After(found.at) {
		j.found.at = at
	}
	return nil
}

// LastSeq is the highest number on the disk; 0 for an empty journal. A viewer asks
// the file again each time.
func (j *Journal) LastSeq() (int64, error) {
	if j.w != nil {
		return j.last.Load(), nil
	}
	var seq int64
	err := j.r.QueryRow("SELECT coalesce(max(seq), 0) FROM events").Scan(&seq)
	return seq, explain("journal-doing.read", j.path, err)
}

// Dir is the data folder.
func (j *Journal) Dir() string { return j.dir }

// Close closes the journal without marking a clean end: the next program to open
// it takes what ran for interrupted.
func (j *Journal) Close() error {
	j.mu.Lock()
	defer j.mu.Unlock()
	err := j.closeFiles()
	j.lock.release()
	return explain("journal-doing.close", j.path, err)
}

// CloseClean closes the journal and marks now as the end that the operator wanted.
func (j *Journal) CloseClean(now time.Time) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	defer j.lock.release()
	err := j.closeDBs()
	if j.beats != nil && err == nil {
		err = j.beats.write(beat{at: now, seq: j.last.Load(), clean: true})
	}
	return explain("journal-doing.close", j.path, errors.Join(err, j.beats.close()))
}

func (j *Journal) closeFiles() error { return errors.Join(j.closeDBs(), j.beats.close()) }

func (j *Journal) closeDBs() error {
	var errs []error
	if j.insert != nil {
		errs = append(errs, j.insert.Close())
	}
	for _, db := range []*sql.DB{j.r, j.w} { // the writer last: it clears the write-ahead log
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return errors.Join(errs...)
}

// writing is the guard of everything that changes the journal.
func (j *Journal) writing() error {
	if j.w == nil {
		return newFault(ErrReadOnly, "journal.viewer")
	}
	return nil
}

// inPlace notices that the file under the journal's name is no longer the one that
// is open. SQLite would go on writing into a file that nobody can find again.
func (j *Journal) inPlace() error {
	info, err := os.Stat(j.path)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	if err != nil || !os.SameFile(info, j.identity) {
		return newFault(ErrGone, "journal.gone", j.path)
	}
	return nil
}

// inTx runs fn in one transaction, on the disk when it returns nil.
func (j *Journal) inTx(fn func(*sql.Tx) error) error {
	tx, err := j.w.BeginTx(context.Background(), nil)
	if err != nil {
		return err
	}
	if err := fn(tx); err != nil {
		_ = tx.Rollback()
		return err
	}
	return tx.Commit()
}
