package serve

import (
	"io"
	"log/slog"
	"os"
	"sync"
)

// maxLog is the size in bytes at which the log is put aside; one older one is kept.
const maxLog = 1 << 20

// logFile is a log that does not grow without end.
type logFile struct {
	path string
	mu   sync.Mutex
	f    *os.File
	size int64
}

// OpenLog opens a log of what was refused, and of who came and went by the prints
// of their keys. No addresses and no names are written.
func OpenLog(path string) (*slog.Logger, io.Closer, error) {
	l := &logFile{path: path}
	if err := l.open(); err != nil {
		return nil, nil, err
	}
	return slog.New(slog.NewTextHandler(l, nil)), l, nil
}

func (l *logFile) open() error {
	f, err := os.OpenFile(l.path, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o600)
	if err != nil {
		return err
	}
	info, err := f.Stat()
	if err != nil {
		return err
	}
	l.f, l.size = f, info.Size()
	return nil
}

// Write adds a line.
func (l *logFile) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.size+int64(len(p)) > maxLog {
		_ = l.f.Close()
		_ = os.Remove(l.path + ".1") // Windows does not rename over a file
		_ = os.Rename(l.path, l.path+".1")
		if err := l.open(); err != nil {
			return 0, err
		}
	}
	n, err := l.f.Write(p)
	l.size += int64(n)
	return n, err
}

// Close closes the log.
func (l *logFile) Close() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.f.Close()
}
