package journal

import (
	"errors"
	"fmt"
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

func (e ErrNewer) Error() string {
	return fmt.Sprintf("%s was written by a newer version of shedbell (format %d; this one knows up to %d). "+
		"Nothing was changed; install the newer version, or give another data folder", e.Path, e.Have, e.Know)
}

// ErrNetworkFolder says that the data folder is on a network file system, where
// locks and synchronous writes cannot be relied on.
type ErrNetworkFolder struct{ Dir, Kind string }

func (e ErrNetworkFolder) Error() string {
	return fmt.Sprintf("%s is on a network folder (%s), where two programs could write at once and a saved "+
		"action could be lost. Choose a data folder on this machine's own disk", e.Dir, e.Kind)
}

// local refuses a folder on a network file system.
func local(dir string) error {
	if kind := networkKind(dir); kind != "" {
		return ErrNetworkFolder{Dir: dir, Kind: kind}
	}
	return nil
}

// fault is an error with a kind to test for and a text for people.
type fault struct {
	kind  error
	text  string
	cause error
}

func (f *fault) Error() string {
	if f.cause == nil {
		return f.text
	}
	return fmt.Sprintf("%s (%s)", f.text, strictfile.Printable(f.cause.Error())) // SQLite repeats what it finds in a file
}

func (f *fault) Unwrap() []error { return []error{f.kind, f.cause} }

func damaged(cause error, format string, args ...any) error {
	return &fault{kind: ErrDamaged, cause: cause, text: fmt.Sprintf(format, args...) +
		". What is whole can be recovered into a new file; the damaged one is kept"}
}

// explain turns an error of the file system or of SQLite into one that says what
// to do. doing reads like "saving".
func explain(doing, path string, err error) error {
	if err == nil || isTyped(err) {
		return err
	}
	kind := kindOf(err)
	if kind == ErrDisk && unwritable(path) {
		kind = ErrReadOnly // SQLite knows only that a write has failed
	}
	say := func(format string, args ...any) error {
		return &fault{kind: kind, cause: err, text: doing + " failed: " + fmt.Sprintf(format, args...)}
	}
	switch kind {
	case ErrDiskFull:
		return say("the disk that holds %s is full. Free some space on it; nothing saved so far is lost", path)
	case ErrReadOnly:
		return say("%s cannot be written. Check that the disk is not mounted read-only and that the folder belongs to you, "+
			"or give another data folder", path)
	case ErrDamaged:
		return damaged(err, "%s failed: %s is damaged", doing, path)
	case ErrDisk:
		return say("the disk that holds %s gives errors or has been removed. Check its plug and cable", path)
	case ErrNoFile:
		return say("%s does not exist", path)
	}
	return fmt.Errorf("%s %s: %w", doing, path, err)
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
