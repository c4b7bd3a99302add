package journal

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"github.com/gofrs/flock"

	"shedbell/line/say"
)

// lockName is the file that the writer keeps locked. The lock belongs to the
// process, so the system lets go of it after a crash or a power cut; the file
// itself stays.
const lockName = "shedbell.lock"

// Holder is who is the writer, as written into the lock file.
type Holder struct {
	PID   int       `json:"pid"`
	Host  string    `json:"host"`
	Since time.Time `json:"since"`
}

// String is the holder in English.
func (h Holder) String() string { return h.Says().String() }

// Says is who holds the line.
func (h Holder) Says() say.Sentence {
	if h.PID == 0 {
		return say.New("holder-of.unknown")
	}
	return say.New("holder-of.process", strconv.Itoa(h.PID), h.Host, say.DateTime(h.Since))
}

// The holder stands at offset 1: Windows keeps others from reading the locked
// byte, which is the first one.
const (
	holderOffset = 1
	holderSize   = 511
)

type writerLock struct{ file *flock.Flock }

func takeLock(dir string, now time.Time) (*writerLock, error) {
	path := filepath.Join(dir, lockName)
	l := &writerLock{file: flock.New(path)}
	ok, err := l.file.TryLock()
	if err != nil {
		return nil, explain("journal-doing.lock", path, err)
	}
	if !ok {
		_ = l.file.Close()
		return nil, ErrLocked{Holder: readHolder(path)}
	}
	if err := writeHolder(path, now); err != nil {
		l.release()
		return nil, explain("journal-doing.lock", path, err)
	}
	return l, nil
}

func (l *writerLock) release() {
	if l != nil {
		_ = l.file.Close()
	}
}

func writeHolder(path string, now time.Time) error {
	host, err := os.Hostname()
	if err != nil {
		host = "this machine"
	}
	text, err := json.Marshal(Holder{PID: os.Getpid(), Host: host, Since: now.Round(0)})
	if err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	padded := append(text, bytes.Repeat([]byte(" "), max(0, holderSize-len(text)))...)
	_, err = f.WriteAt(padded, holderOffset)
	return err
}

// readHolder returns the zero Holder when the file says nothing readable: its
// writer may be about to write it.
func readHolder(path string) Holder {
	f, err := os.Open(path)
	if err != nil {
		return Holder{}
	}
	defer f.Close()
	buf := make([]byte, holderSize)
	n, _ := f.ReadAt(buf, holderOffset)
	var h Holder
	if json.Unmarshal(bytes.TrimSpace(buf[:n]), &h) != nil {
		return Holder{}
	}
	return h
}
