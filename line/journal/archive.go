package journal

import (
	"archive/tar"
	"compress/gzip"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// An archive is a compressed tar file of a whole data folder: the checked copy of the
// journal and every other file that stands in it, such as the line, the recipes, day
// sheets, settings and keys. Folders, and what only the running program needs, stay out.
// A checksum covers all of it, names too.

// mostArchived is the most that one file of a data folder besides the journal may hold.
const mostArchived = 16 << 20

// isArchive says whether a file begins as a gzip file does (section 2.3.1 of RFC 1952).
func isArchive(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	var begin [2]byte
	_, err = io.ReadFull(f, begin[:])
	return err == nil && begin == [2]byte{0x1f, 0x8b}
}

// ArchiveTo writes an archive of the journal's data folder, while the line runs. It gets
// its name once it is whole. It returns the names of the files besides the journal.
func (j *Journal) ArchiveTo(path string) (files []string, err error) {
	part := path + ".part"
	db := part + ".db"
	defer func() {
		_ = removeDB(db)
		_ = os.Remove(part)
	}()
	if err := j.BackupTo(db); err != nil {
		return nil, err
	}
	if files, err = ownersFiles(j.dir); err != nil {
		return nil, explain("journal-doing.back-up", j.dir, err)
	}
	from := map[string]string{dbName: db}
	for _, name := range files {
		from[name] = filepath.Join(j.dir, name)
	}
	if err := writeArchive(part, append([]string{dbName}, files...), from); err != nil {
		return nil, explain("journal-doing.back-up", path, err)
	}
	if err := os.Rename(part, path); err != nil {
		return nil, explain("journal-doing.back-up", path, err)
	}
	return files, explain("journal-doing.back-up", path, syncDir(filepath.Dir(path)))
}

// ownersFiles lists what of a data folder is its owner's: its plain files without those of
// the program, and without what was kept when a copy was put back.
func ownersFiles(dir string) (names []string, err error) {
	all, err := os.ReadDir(dir)
	for _, e := range all {
		if e.Type().IsRegular() && !strings.HasPrefix(e.Name(), "shedbell") && !strings.HasPrefix(e.Name(), ".") && !strings.Contains(e.Name(), ".replaced-") {
			names = append(names, e.Name())
		}
	}
	return names, err
}

func writeArchive(path string, names []string, from map[string]string) error {
	out, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600) // it holds keys
	if err != nil {
		return err
	}
	z := gzip.NewWriter(out)
	t := tar.NewWriter(z)
	for _, name := range names {
		if err = addFile(t, name, from[name]); err != nil {
			break
		}
	}
	return errors.Join(err, t.Close(), z.Close(), out.Sync(), out.Close())
}

func addFile(t *tar.Writer, name, from string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	info, err := in.Stat()
	if err != nil {
		return err
	}
	if info.Size() > mostArchived && name != dbName {
		return newFault(ErrForeign, "journal.too-large", from)
	}
	if err := t.WriteHeader(&tar.Header{Name: name, Mode: 0o600, Size: info.Size(), ModTime: info.ModTime()}); err != nil {
		return err
	}
	_, err = io.CopyN(t, in, info.Size())
	return err
}

// Restore puts a copy in the place of a data folder's journal and, where it is an archive,
// its files beside it. The copy is checked first. What was there and is another is kept
// under the names that are returned. It needs the writer's lock.
func Restore(path, dir string, opts Options) (kept []string, err error) {
	if !isArchive(path) {
		was, err := RestoreFrom(path, dir, opts)
		return names(was), err
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, explain("journal-doing.make-folder", dir, err)
	}
	unpacked, err := os.MkdirTemp(dir, ".restored-")
	if err != nil {
		return nil, explain("journal-doing.restore", dir, err)
	}
	defer os.RemoveAll(unpacked)
	files, err := unpack(path, unpacked)
	if err != nil {
		return nil, explain("journal-doing.restore", path, err)
	}
	was, err := RestoreFrom(filepath.Join(unpacked, dbName), dir, opts)
	if kept = names(was); err != nil {
		return kept, err
	}
	for _, name := range files {
		was, err := putFile(filepath.Join(unpacked, name), dir, name, stamp(opts.now()))
		if kept = append(kept, names(was)...); err != nil {
			return kept, explain("journal-doing.restore", filepath.Join(dir, name), err)
		}
	}
	return kept, explain("journal-doing.restore", dir, syncDir(dir))
}

func names(kept string) []string {
	if kept == "" {
		return nil
	}
	return []string{kept}
}

// putFile puts a file in its place. One that says something else is kept first.
func putFile(from, dir, name, when string) (kept string, err error) {
	to := filepath.Join(dir, name)
	fresh, err := os.ReadFile(from)
	if err != nil {
		return "", err
	}
	old, err := os.ReadFile(to)
	switch {
	case err == nil && string(old) == string(fresh):
		return "", nil
	case err == nil:
		kept = freeName(dir, name+".replaced-"+when, "")
		if err := copyFile(to, kept); err != nil {
			return "", err
		}
	case !errors.Is(err, fs.ErrNotExist):
		return "", err
	}
	return kept, os.Rename(from, to)
}

// unpack writes the files of an archive into a folder. It takes no names but plain ones.
func unpack(path, dir string) (files []string, err error) {
	in, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	bad := newFault(ErrForeign, "journal.no-archive", path)
	z, err := gzip.NewReader(in)
	if err != nil {
		return nil, bad
	}
	found := false
	t := tar.NewReader(z)
	for {
		h, err := t.Next()
		if err == io.EOF {
			break
		}
		if err != nil || h.Name != filepath.Base(h.Name) || strings.HasPrefix(h.Name, ".") || strings.ContainsAny(h.Name, `/\`) || h.Typeflag != tar.TypeReg {
			return nil, bad
		}
		if h.Name == dbName {
			found = true
		} else {
			files = append(files, h.Name)
		}
		if err := unpackFile(t, h, filepath.Join(dir, h.Name)); err != nil {
			return nil, err
		}
	}
	if _, err := io.Copy(io.Discard, z); err != nil || !found { // the checksum stands at the end
		return nil, bad
	}
	return files, nil
}

func unpackFile(t *tar.Reader, h *tar.Header, to string) error {
	if h.Size > mostArchived && h.Name != dbName {
		return newFault(ErrForeign, "journal.too-large", h.Name)
	}
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	if _, err = io.Copy(out, t); err != nil {
		err = newFault(ErrDamaged, "journal.no-archive", h.Name)
	}
	return errors.Join(err, out.Sync(), out.Close())
}
