package setup

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// errChanged says that the file is not the one any more that was changed.
var errChanged = errors.New("the file was changed by somebody else meanwhile")

// Save puts a new file in the place of the one whose contents are was (nil: there
// was none). The old one is kept under its name with the next free number, and
// there is no moment at which neither is there.
func Save(path string, data, was []byte) (kept string, err error) {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return "", err
	}
	now, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist) && was == nil:
	case err != nil:
		return "", err
	case was == nil || string(now) != string(was):
		return "", errChanged
	}
	mode := fs.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		mode = info.Mode().Perm()
	}
	if was != nil {
		if kept, err = keep(path, was, mode); err != nil {
			return "", err
		}
	}
	return kept, replace(path, data, mode)
}

// keep writes the old contents to the next free number.
func keep(path string, data []byte, mode fs.FileMode) (string, error) {
	for n := 1; ; n++ {
		name := fmt.Sprintf("%s.%d", path, n)
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return "", err
		}
		return name, fill(f, data)
	}
}

// fill writes a whole file to the disk, or takes it away again.
func fill(f *os.File, data []byte) error {
	_, err := f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		os.Remove(f.Name())
	}
	return err
}

func replace(path string, data []byte, mode fs.FileMode) error {
	f, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".new-")
	if err != nil {
		return err
	}
	if err := f.Chmod(mode); err != nil {
		f.Close()
		os.Remove(f.Name())
		return err
	}
	if err := fill(f, data); err != nil {
		return err
	}
	if err := os.Rename(f.Name(), path); err != nil {
		os.Remove(f.Name())
		return err
	}
	if dir, err := os.Open(filepath.Dir(path)); err == nil {
		_ = dir.Sync() // not every file system can
		dir.Close()
	}
	return nil
}
