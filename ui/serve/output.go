package serve

import (
	"bytes"
	"io"
	"sync"
	"time"
)

// output takes a session's frames and writes them to the client in the background.
// Write never waits: a client that does not read fills the buffer or lets a write
// hang, and is dropped for it.
type output struct {
	to      io.Writer
	patient time.Duration // how long one write may hang
	most    int           // bytes that may wait
	drop    func(why string)

	mu      sync.Mutex
	pending []byte
	closed  bool
	wake    chan struct{}
	done    chan struct{} // the writer has ended
}

func newOutput(to io.Writer, limits Limits, drop func(why string)) *output {
	o := &output{to: to, patient: limits.Write, most: limits.Pending, drop: drop,
		wake: make(chan struct{}, 1), done: make(chan struct{})}
	go o.write()
	return o
}

// Write queues a frame. There is no terminal driver behind it, so line feeds get
// their carriage returns here.
func (o *output) Write(p []byte) (int, error) {
	p2 := bytes.ReplaceAll(bytes.ReplaceAll(p, []byte("\r\n"), []byte("\n")), []byte("\n"), []byte("\r\n"))
	o.mu.Lock()
	if o.closed {
		o.mu.Unlock()
		return 0, io.ErrClosedPipe
	}
	full := len(o.pending)+len(p2) > o.most
	if full {
		o.closed, o.pending = true, nil
	} else {
		o.pending = append(o.pending, p2...)
	}
	o.mu.Unlock()
	o.nudge()
	if full {
		o.drop("it does not read what it is sent")
		return 0, io.ErrClosedPipe
	}
	return len(p), nil
}

func (o *output) nudge() {
	select {
	case o.wake <- struct{}{}:
	default:
	}
}

func (o *output) write() {
	defer close(o.done)
	for {
		o.mu.Lock()
		batch, closed := o.pending, o.closed
		o.pending = nil
		o.mu.Unlock()
		if len(batch) == 0 {
			if closed {
				return
			}
			<-o.wake
			continue
		}
		hangs := time.AfterFunc(o.patient, func() { o.drop("a write to it hangs") })
		_, err := o.to.Write(batch)
		hangs.Stop()
		if err != nil {
			o.end()
			return
		}
	}
}

// end takes nothing more; what waits is still written.
func (o *output) end() {
	o.mu.Lock()
	o.closed = true
	o.mu.Unlock()
	o.nudge()
}

// Close writes what waits and ends. A client that does not take it is dropped.
func (o *output) Close() error {
	o.end()
	<-o.done
	return nil
}
