package canvas

import (
	"context"
	"io"
	"time"
)

// escapeWait is how long an Esc is held to see whether it begins a sequence: what a
// terminal sends in one piece is there by then, and nobody notices it.
const escapeWait = 30 * time.Millisecond

// Keys reads from a terminal what a person has pressed or pasted, and nothing else
// that it sends. A file stays one, so that its mode can be set and reading it be
// cancelled. Told gets the text of answers of the kind OSC; nil: nobody wants them.
// Another reader is read until ctx is over.
func Keys(ctx context.Context, from io.Reader, told func(osc string)) io.Reader {
	if f, ok := from.(terminalFile); ok {
		return &fileKeys{terminalFile: f, filter: keyFilter{told: told}}
	}
	s := &streamKeys{filter: keyFilter{told: told}, come: make(chan []byte)}
	go s.pump(ctx, from)
	return s
}

// terminalFile is what bubbletea takes for a terminal.
type terminalFile interface {
	io.ReadWriteCloser
	Fd() uintptr
	Name() string
}

// fileKeys reads a terminal once it has something, as whoever cancels the reading
// waits for that. What was nobody's key leaves nothing to give then.
type fileKeys struct {
	terminalFile
	filter keyFilter
	left   []byte
}

// Read gives keys, and none where what came was none.
func (k *fileKeys) Read(p []byte) (int, error) {
	if len(k.left) == 0 {
		var buf [maxHeld]byte // with what is held it fits into what bubbletea reads into
		n, err := k.terminalFile.Read(buf[:min(len(buf), len(p))])
		out := k.filter.feed(nil, buf[:n], time.Now())
		for err == nil && k.filter.waits() {
			if !readable(k.Fd(), escapeWait) {
				out = k.filter.flush(out, time.Now())
				break
			}
			n, err = k.terminalFile.Read(buf[:1])
			out = k.filter.feed(out, buf[:n], time.Now())
		}
		if len(out) == 0 {
			return 0, err
		}
		k.left = out
	}
	n := copy(p, k.left)
	k.left = k.left[n:]
	return n, nil
}

// streamKeys reads a session of another machine.
type streamKeys struct {
	filter keyFilter
	left   []byte
	come   chan []byte // closed when nothing more comes
	err    error       // why
}

func (k *streamKeys) pump(ctx context.Context, from io.Reader) {
	defer close(k.come)
	for {
		buf := make([]byte, maxHeld)
		n, err := from.Read(buf)
		select {
		case <-ctx.Done():
			k.err = io.EOF
			return
		case k.come <- buf[:n]:
		}
		if err != nil {
			k.err = err
			return
		}
	}
}

// Read gives keys. It waits until there are some.
func (k *streamKeys) Read(p []byte) (int, error) {
	for len(k.left) == 0 {
		in, more := <-k.come
		if !more {
			return 0, k.err
		}
		k.left = k.filter.feed(nil, in, time.Now())
		for k.filter.waits() {
			wait := time.NewTimer(escapeWait)
			select {
			case in, more = <-k.come:
				k.left = k.filter.feed(k.left, in, time.Now())
			case <-wait.C:
				more = false
			}
			wait.Stop()
			if !more {
				k.left = k.filter.flush(k.left, time.Now())
			}
		}
	}
	n := copy(p, k.left)
	k.left = k.left[n:]
	return n, nil
}
