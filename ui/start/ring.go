package start

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"sync"
	"time"

	"shedbell/line"
	"shedbell/ui/app"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
)

// soundFor bounds a sound command, so that one that hangs does not pile up.
const soundFor = 10 * time.Second

// ringer makes what an alarm sounds like on a terminal. Notifications are asked for
// with OSC 9, which terminals that do not know it pass over. The sound command runs
// beside the board; one at a time.
func ringer(out io.Writer) app.Ring {
	var busy sync.Mutex
	return func(p screen.Prefs, _ line.Priority, text string) {
		bell := "\a"
		if p.Notify {
			bell += "\x1b]9;" + canvas.Clean(text) + "\a"
		}
		fmt.Fprint(out, bell)
		if len(p.Sound) == 0 || !busy.TryLock() {
			return
		}
		go func() {
			defer busy.Unlock()
			ctx, cancel := context.WithTimeout(context.Background(), soundFor)
			defer cancel()
			exec.CommandContext(ctx, p.Sound[0], p.Sound[1:]...).Run() // silence is no reason to disturb the line
		}()
	}
}

// whole is a terminal that the bell and the screen's frames share: each write goes
// out in one piece, so that a bell never lands inside an escape sequence.
type whole struct {
	*os.File
	mu sync.Mutex
}

func (w *whole) Write(p []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.File.Write(p)
}

// shared makes a terminal fit for frames and bells.
func shared(out io.Writer) io.Writer {
	if f, ok := out.(*os.File); ok {
		return &whole{File: f}
	}
	return out
}
