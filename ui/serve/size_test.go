package serve

import (
	"testing"

	"github.com/muesli/termenv"
	"golang.org/x/crypto/ssh"

	"shedbell/recipes/strictfile/fuzztest"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

type window struct{ Columns, Rows, Width, Height uint32 }

func TestWindowSize(t *testing.T) {
	old := screen.Size{W: 90, H: 25}
	for _, tc := range []struct {
		in   window
		want screen.Size
	}{
		{window{80, 24, 640, 480}, screen.Size{W: 80, H: 24}}, // the example in RFC 4254, 6.2
		{window{0, 24, 640, 480}, screen.Size{W: 90, H: 24}},  // "Zero dimension parameters MUST be ignored", there
		{window{80, 0, 0, 0}, screen.Size{W: 80, H: 25}},
		{window{1 << 31, 1<<32 - 1, 0, 0}, screen.Size{W: maxWidth, H: maxHeight}},
		{window{1, 1, 0, 0}, screen.Size{W: 1, H: 1}},
	} {
		if got, ok := windowSize(ssh.Marshal(tc.in), old); !ok || got != tc.want {
			t.Errorf("%+v: %v, %t; want %v", tc.in, got, ok, tc.want)
		}
	}
	whole := ssh.Marshal(window{80, 24, 640, 480})
	for n := range whole {
		if got, ok := windowSize(whole[:n], old); ok || got != old {
			t.Errorf("%d bytes: %v, %t", n, got, ok)
		}
	}
}

func TestPtyRequest(t *testing.T) {
	type pty struct {
		Term                         string
		Columns, Rows, Width, Height uint32
		Modes                        string
	}
	term, size, ok := ptyRequest(ssh.Marshal(pty{"vt100", 80, 24, 640, 480, "\x00"})) // RFC 4254, 6.2
	if !ok || term != "vt100" || size != (screen.Size{W: 80, H: 24}) {
		t.Errorf("%q, %v, %t", term, size, ok)
	}
	for _, bad := range []string{"", "\x00", "\xff\xff\xff\xffxterm", "\x00\x00\x00\x05xterm"} {
		if _, _, ok := ptyRequest([]byte(bad)); ok {
			t.Errorf("%q was taken", bad)
		}
	}
}

// FuzzSizes: whatever a client says its terminal is, the screen that is drawn has
// at least one cell and no more than the largest.
func FuzzSizes(f *testing.F) {
	f.Add([]byte("\x00\x00\x00\x05xterm"+string(ssh.Marshal(window{80, 24, 640, 480}))+"\x00\x00\x00\x01\x00"), 80, 24)
	f.Add(ssh.Marshal(window{1 << 31, 0, 1, 1}), 1, 1)
	f.Add([]byte("\xff\xff\xff\xff"), 600, 180)
	f.Fuzz(func(t *testing.T, data []byte, w, h int) {
		defer fuzztest.Bound(t)()
		old := screen.Size{W: min(max(w, 1), maxWidth), H: min(max(h, 1), maxHeight)}
		bounded := func(s screen.Size) bool { return s.W >= 1 && s.W <= maxWidth && s.H >= 1 && s.H <= maxHeight }
		term, size, ok := ptyRequest(data)
		if !bounded(size) || len(term) > maxTermName || len(term) > len(data) {
			t.Errorf("terminal of %v, name of %d bytes", size, len(term))
		}
		if ok && len(data) < 20 {
			t.Errorf("%d bytes were taken for a whole request", len(data))
		}
		size, ok = windowSize(data, old)
		if !bounded(size) || !ok && size != old {
			t.Errorf("window of %v after %v", size, old)
		}
		if ok != (len(data) >= 16) { // four uint32, RFC 4254, 6.7
			t.Errorf("%d bytes: %t", len(data), ok)
		}
	})
}

// FuzzLook: whatever a client says that its terminal is, there is a look for it.
func FuzzLook(f *testing.F) {
	f.Add("xterm-256color", "LANG", "en_US.UTF-8", "COLORTERM", "truecolor")
	f.Add("\x1b[c", "LC_ALL", "", "NO_COLOR", "\xff")
	f.Fuzz(func(t *testing.T, term, a, valueA, b, valueB string) {
		defer fuzztest.Bound(t)()
		o := look(theme.Auto, term, map[string]string{a: valueA, b: valueB})
		if o.Profile < termenv.TrueColor || o.Profile > termenv.Ascii {
			t.Errorf("%+v", o)
		}
		if line := clip(term); len(line) > 130 {
			t.Errorf("%d bytes for the log", len(line))
		}
	})
}
