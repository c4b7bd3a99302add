package journal

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// syncDir makes new names in a folder survive a power cut. Windows does that by
// itself and cannot open a folder.
func syncDir(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}

func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	return f.Sync()
}

// copyFile copies onto a new name and waits for the disk. It never overwrites.
func copyFile(from, to string) error {
	src, err := os.Open(from)
	if err != nil {
		return err
	}
	defer src.Close()
	dst, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(dst, src)
	if err == nil {
		err = dst.Sync()
	}
	return errors.Join(err, dst.Close())
}

// freeName returns a file name beside path that is not taken yet.
func freeName(dir, stem, ext string) string {
	for i := 1; ; i++ {
		name := stem
		if i > 1 {
			name = fmt.Sprintf("%s-%d", stem, i)
		}
		path := filepath.Join(dir, name+ext)
		if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
			return path
		}
	}
}

// removeDB removes a database with its side files; ones that do not exist are no
// error.
func removeDB(path string) error {
	for _, suffix := range []string{"-wal", "-shm", "-journal", ""} {
		if err := os.Remove(path + suffix); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// swapIn puts a finished file in the journal's place and keeps what was there
// under a dated name, which it returns; empty when there was nothing. At no
// moment is there no journal: one that is missing would be made again, and empty.
func swapIn(fresh, dir, why, when string) (kept string, err error) {
	path := filepath.Join(dir, dbName)
	if _, err := os.Lstat(path); err == nil {
		kept = freeName(dir, "shedbell-"+why+"-"+when, ".db")
		if err := copyFile(path, kept); err != nil {
			return "", err
		}
		if err := copyFile(path+"-wal", kept+"-wal"); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
		if err := syncDir(dir); err != nil {
			return "", err
		}
	}
	// SQLite would take the old write-ahead log for the new file's own.
	for _, suffix := range []string{"-wal", "-shm"} {
		if err := os.Remove(path + suffix); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return kept, err
		}
	}
	if err := os.Rename(fresh, path); err != nil {
		return kept, err
	}
	return kept, syncDir(dir)
}
