package journal

import (
	"os"
	"path/filepath"
	"time"
)

// Writer is what the files tell about the program that runs the line.
type Writer struct {
	Holder Holder    // who took the lock last
	Beat   time.Time // its newest heartbeat, on the line's clock; zero for none
	Number uint64    // of that heartbeat: it rises with each one
	Left   bool      // its operator has quit it
}

// ReadWriter reads from a data folder who the writer is and when it was last alive.
// Whether the lock is still held only Open finds out.
func ReadWriter(dir string) Writer {
	w := Writer{Holder: readHolder(filepath.Join(dir, lockName))}
	if b, err := readBeats(dir); err == nil && b.number > 0 {
		w.Beat, w.Number, w.Left = b.at, b.number, b.clean
	}
	return w
}

// Replaced says that another file now stands under the journal's name, as after a
// recovery: what is open here is the old one, to which nothing is added any more.
func (j *Journal) Replaced() bool {
	info, err := os.Stat(j.path)
	return err == nil && j.identity != nil && !os.SameFile(info, j.identity)
}
