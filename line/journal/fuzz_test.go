package journal

import (
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode"

	"shedbell/line"
	"shedbell/recipes/strictfile/fuzztest"
)

// shm is a folder in memory where there is one: a target that waited for a disk
// would try few inputs.
func shm(t testing.TB) string {
	const memory = "/dev/shm"
	if info, err := os.Stat(memory); err != nil || !info.IsDir() {
		return t.TempDir()
	}
	dir, err := os.MkdirTemp(memory, "shedbell-fuzz")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

// patched overwrites a file's bytes as a patch says: pieces of a place in two bytes,
// a length in one, and the bytes. A piece of no length cuts the file there.
func patched(data, patch []byte) []byte {
	out := append([]byte(nil), data...)
	for len(patch) >= 3 && len(out) > 0 {
		at, n := int(binary.LittleEndian.Uint16(patch))*7%len(out), int(patch[2])
		patch = patch[3:]
		if n == 0 {
			out = out[:at]
			continue
		}
		copy(out[at:], patch[:min(n, len(patch))])
		patch = patch[min(n, len(patch)):]
	}
	return out
}

// FuzzDatabase tampers with a journal's file and heartbeat. It is opened or refused
// in words, what it replays are whole records in their order, and what is salvaged
// can be opened.
func FuzzDatabase(f *testing.F) {
	whole, err := os.ReadFile(filepath.Join("testdata", "format_1.db"))
	if err != nil {
		f.Fatal(err)
	}
	for at := uint16(0); int(at)*7 < len(whole); at += 293 {
		f.Add([]byte{byte(at), byte(at >> 8), 4, 0xff, 0, 0x80, 1}, []byte(nil))
		f.Add([]byte{byte(at), byte(at >> 8), 0}, encodeBeat(beat{number: 9, at: time.Unix(1e9, 0), seq: int64(at), clean: true}))
	}
	now := func() time.Time { return time.Date(2026, 12, 3, 8, 0, 0, 0, time.UTC) }
	f.Fuzz(func(t *testing.T, patch, beats []byte) {
		if len(patch) > 64 || len(beats) > 2*beatStride {
			return
		}
		defer fuzztest.Bound(t)()
		dir := shm(t)
		must(t, os.WriteFile(filepath.Join(dir, dbName), patched(whole, patch), 0o600))
		must(t, os.WriteFile(filepath.Join(dir, beatName), beats, 0o600))
		_, err := readAll(t, dir, now)
		if err == nil || !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrForeign) {
			return
		}
		if _, err := Salvage(dir, Options{Now: now}); err != nil {
			saidWell(t, err)
			return
		}
		if _, err := readAll(t, dir, now); err != nil {
			t.Errorf("what was salvaged cannot be read: %v", err)
		}
	})
}

// readAll opens a journal, as a writer and then as a viewer, and reads its records.
func readAll(t *testing.T, dir string, now func() time.Time) (n int, err error) {
	j, err := Open(dir, Options{Now: now})
	if err != nil {
		saidWell(t, err)
		return 0, err
	}
	last := int64(0)
	err = j.Replay(0, func(r line.Record) error {
		if r.Seq <= last {
			t.Errorf("record %d after %d", r.Seq, last)
		}
		last = r.Seq
		n++
		return nil
	})
	if closing := j.Close(); err == nil {
		err = closing
	}
	if err != nil {
		saidWell(t, err)
	}
	return n, err
}

// saidWell checks that an error can be shown to a person.
func saidWell(t *testing.T, err error) {
	t.Helper()
	if text := err.Error(); text == "" || strings.ContainsFunc(text, unicode.IsControl) {
		t.Errorf("said as %q", text)
	}
}
