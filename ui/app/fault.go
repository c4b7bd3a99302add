package app

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"shedbell/ui/screen"
)

// fault is a panic of a screen. What people have typed is no part of it: the
// report may be sent to somebody.
type fault struct {
	where         string // Init, Update, View or command
	msg           string // type of the message that was being answered
	what          string
	stack         []string
	screen        screen.Name
	width, height int
}

// keptReports is how many reports are kept.
const keptReports = 10

// newFault describes a panic. Of its value only the type is told, and the text of
// the language's own errors, which holds nothing but numbers and types.
func newFault(where string, msg any, value any) fault {
	f := fault{where: where, what: "a " + reflect.TypeOf(value).String()}
	if err, ok := value.(runtime.Error); ok {
		f.what = err.Error()
	}
	if msg != nil {
		f.msg = reflect.TypeOf(msg).String()
	}
	pcs := make([]uintptr, 64)
	frames := runtime.CallersFrames(pcs[:runtime.Callers(3, pcs)])
	for {
		frame, more := frames.Next()
		f.stack = append(f.stack, fmt.Sprintf("%s (%s:%d)", frame.Function, filepath.Base(frame.File), frame.Line))
		if !more {
			return f
		}
	}
}

// report writes a report into a folder and returns the file's name; without a
// folder it does nothing.
func (f *fault) report(dir string, now time.Time) (name string, err error) {
	if dir == "" {
		return "", nil
	}
	name = "fault-" + now.Format("20060102-150405") + ".txt"
	if err := os.WriteFile(filepath.Join(dir, name), []byte(f.text(now)), 0o644); err != nil {
		return "", err
	}
	old, err := filepath.Glob(filepath.Join(dir, "fault-????????-??????.txt"))
	if err != nil || len(old) <= keptReports {
		return name, err
	}
	slices.Sort(old)
	for _, path := range old[:len(old)-keptReports] {
		_ = os.Remove(path)
	}
	return name, nil
}

func (f *fault) text(now time.Time) string {
	var b strings.Builder
	fmt.Fprintf(&b, "shedbell, a fault in the full board. Nothing of what was entered is in this file.\n\n")
	fmt.Fprintf(&b, "when     %s\n", now.Format(time.RFC3339))
	fmt.Fprintf(&b, "program  %s, %s %s/%s\n", programVersion(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
	fmt.Fprintf(&b, "screen   %s, %d by %d cells\n", f.screen, f.width, f.height)
	fmt.Fprintf(&b, "during   %s %s\n", f.where, f.msg)
	fmt.Fprintf(&b, "what     %s\n\n", f.what)
	for _, call := range f.stack {
		b.WriteString(call + "\n")
	}
	return b.String()
}

func programVersion() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "of unknown version"
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" {
			return info.Main.Version + " " + s.Value
		}
	}
	return info.Main.Version
}
