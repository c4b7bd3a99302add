package journal

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
	"time"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"shedbell/line/say"
	"shedbell/recipes/strictfile"
)

// What can be wrong with the place where the journal is kept. Test with errors.Is;
// the error's text says what to do.
var (
	ErrDiskFull = errors.New("disk full")
	ErrReadOnly = errors.New("read-only")
	ErrDamaged  = errors.New("journal damaged")
	ErrGone     = errors.New("journal file gone")
	ErrForeign  = errors.New("not a shedbell journal")
	ErrNoFile   = errors.New("no journal")
	ErrDisk     = errors.New("disk error")
	ErrSequence = errors.New("records out of sequence")
)

// ErrLocked says that another process is the writer.
type ErrLocked struct{ Holder Holder }

func (e ErrLocked) Error() string { return e.Says().String() }

// Says is the error with its values apart.
func (e ErrLocked) Says() say.Sentence { return say.New("holder-of.locked", e.Holder) }

// ErrNewer says that a newer program has written the journal.
type ErrNewer struct {
	Path       string
	Have, Know int // schema version of the file, and the newest one known here
}

func (e ErrNewer) Error() string { return e.Says().String() }

// Says is the error with its values apart.
func (e ErrNewer) Says() say.Sentence { return say.New("journal.newer", e.Path, e.Have, e.Know) }

// ErrNetworkFolder says that the data folder is on a network file system, where
// locks and synchronous writes cannot be relied on.
type ErrNetworkFolder struct{ Dir, Kind string }

func (e ErrNetworkFolder) Error() string { return e.Says().String() }

// Says is the error with its values apart.
func (e ErrNetworkFolder) Says() say.Sentence {
	return say.New("journal.network-folder", e.Dir, e.Kind)
}

// local refuses a folder on a network file system.
func local(dir string) error {
	if kind := networkKind(dir); kind != "" {
		return ErrNetworkFolder{Dir: dir, Kind: kind}
	}
	return nil
}

// fault is an error with a kind to test for and a sentence for people.
type fault struct {
	kind  error
	says  say.Sentence
	cause error
}

func newFault(kind error, id string, args ...any) error {
	return &fault{kind: kind, says: say.New(id, args...)}
}

func (f *fault) Error() string { return f.Says().String() }

// Says is the error with its values apart.
func (f *fault) Says() say.Sentence {
	if f.cause == nil {
		return f.says
	}
	return say.New("journal.because", f.says, strictfile.Printable(f.cause.Error())) // SQLite repeats what it finds in a file
}

func (f *fault) Unwrap() []error { return []error{f.kind, f.cause} }

func damaged(cause error, id string, args ...any) error {
	return &fault{kind: ErrDamaged, cause: cause, says: say.New("journal.recoverable", say.New(id, args...))}
}

// failures say what is wrong with the place of the journal.
var failures = map[error]string{
	ErrDiskFull: "journal.disk-full",
	ErrReadOnly: "journal.read-only",
	ErrDisk:     "journal.disk",
	ErrNoFile:   "journal.no-file",
}

// explain turns an error of the file system or of SQLite into one that says what
// to do. doing is the identifier of what was being done.
func explain(doing, path string, err error) error {
	if err == nil || isTyped(err) {
		return err
	}
	kind := kindOf(err)
	if kind == ErrDisk && unwritable(path) {
		kind = ErrReadOnly // SQLite knows only that a write has failed
	}
	switch id := failures[kind]; {
	case id != "":
		return &fault{kind: kind, cause: err, says: say.New(id, say.New(doing), path)}
	case kind == ErrDamaged:
		return damaged(err, "journal.failed-damaged", say.New(doing), path)
	}
	return &fault{cause: err, says: say.New("journal.failed", say.New(doing), path)}
}

// unwritable says whether a file cannot be opened for writing, as on a disk that the
// system has made read-only after errors.
func unwritable(path string) bool {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return kindOf(err) == ErrReadOnly
	}
	_ = f.Close()
	return false
}

func isTyped(err error) bool {
	var f *fault
	var locked ErrLocked
	var newer ErrNewer
	var network ErrNetworkFolder
	return errors.As(err, &f) || errors.As(err, &locked) || errors.As(err, &newer) || errors.As(err, &network)
}

// sqliteKinds maps SQLite's primary result codes, https://sqlite.org/rescode.html.
var sqliteKinds = map[int]error{
	sqlite3.SQLITE_FULL:     ErrDiskFull,
	sqlite3.SQLITE_READONLY: ErrReadOnly,
	sqlite3.SQLITE_PERM:     ErrReadOnly,
	sqlite3.SQLITE_CANTOPEN: ErrReadOnly,
	sqlite3.SQLITE_CORRUPT:  ErrDamaged,
	sqlite3.SQLITE_NOTADB:   ErrDamaged,
	sqlite3.SQLITE_ERROR:    ErrDamaged, // no such table, say: the statements are fixed, so the file is wrong
	sqlite3.SQLITE_IOERR:    ErrDisk,
}

func kindOf(err error) error {
	var se *sqlite.Error
	if errors.As(err, &se) {
		return sqliteKinds[se.Code()&0xff]
	}
	switch {
	case errors.Is(err, syscall.ENOSPC):
		return ErrDiskFull
	case errors.Is(err, syscall.EROFS), errors.Is(err, fs.ErrPermission):
		return ErrReadOnly
	case errors.Is(err, syscall.EIO):
		return ErrDisk
	case errors.Is(err, fs.ErrNotExist):
		return ErrNoFile
	}
	return nil
}

// stamp is an instant as file names carry it.
func stamp(t time.Time) string { return t.Format("20060102-150405") }
