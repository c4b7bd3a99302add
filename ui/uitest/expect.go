package uitest

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/ui/canvas"
)

var update = flag.Bool("update", false, "write the golden screens again")

// Sizes are the terminals that every screen is checked on, width and height.
var Sizes = [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}}

// fail ends the test with the whole screen.
func (d *Driver) fail(format string, args ...any) {
	d.tb.Helper()
	text := fmt.Sprintf(format, args...)
	if d.model != nil {
		text += "\nthe screen:\n" + d.Screen()
	}
	d.tb.Fatal(text)
}

// flat joins a screen's lines, so that a text is found wherever it was wrapped, also
// beside a drawn clock.
func flat(s string) string {
	s = strings.Map(func(r rune) rune {
		if r >= 0x2580 && r <= 0x258f {
			return ' '
		}
		return r
	}, s)
	return strings.Join(strings.Fields(s), " ")
}

// Expect fails unless every text is on the screen. Runs of spaces and line breaks
// count as one space.
func (d *Driver) Expect(texts ...string) {
	d.tb.Helper()
	on := flat(d.Screen())
	for _, text := range texts {
		if !strings.Contains(on, flat(text)) {
			d.fail("%q is not on the screen", text)
		}
	}
}

// ExpectNot fails if one of the texts is on the screen.
func (d *Driver) ExpectNot(texts ...string) {
	d.tb.Helper()
	on := flat(d.Screen())
	for _, text := range texts {
		if strings.Contains(on, flat(text)) {
			d.fail("%q is on the screen", text)
		}
	}
}

// ExpectLine fails unless one line holds all the parts, in their order.
func (d *Driver) ExpectLine(parts ...string) {
	d.tb.Helper()
lines:
	for _, l := range strings.Split(d.Screen(), "\n") {
		for _, p := range parts {
			at := strings.Index(l, p)
			if at < 0 {
				continue lines
			}
			l = l[at+len(p):]
		}
		return
	}
	d.fail("no line holds %q", parts)
}

// CheckFrame fails unless the frame fills the terminal exactly.
func (d *Driver) CheckFrame() {
	d.tb.Helper()
	if err := d.FrameFault(); err != "" {
		d.fail("%s", err)
	}
}

// FrameFault says how the frame misses the terminal's size, if it does.
func (d *Driver) FrameFault() string {
	raw := d.Raw()
	if Steers(raw) {
		return fmt.Sprintf("the terminal would be steered by %q", raw)
	}
	lines := strings.Split(raw, "\n")
	if len(lines) != d.h {
		return fmt.Sprintf("%d lines on a terminal of %d", len(lines), d.h)
	}
	for i, l := range lines {
		if w := canvas.Width(l); w != d.w {
			return fmt.Sprintf("line %d is %d cells wide on a terminal of %d: %q", i+1, w, d.w, l)
		}
	}
	return ""
}

var colours = regexp.MustCompile("\x1b\\[[0-9;]*m")

// Steers says whether a frame holds anything that a terminal does not just show, other
// than line feeds and colours.
func Steers(frame string) bool {
	return !utf8.ValidString(frame) || strings.ContainsFunc(colours.ReplaceAllString(frame, ""), func(r rune) bool {
		const nonJoiner, joiner = '\u200c', '\u200d'
		return unicode.IsControl(r) && r != '\n' || unicode.In(r, unicode.Zl, unicode.Zp) || unicode.Is(unicode.Cf, r) && r != nonJoiner && r != joiner
	})
}

// CheckAmps fails if a circuit carries more than it may, unless somebody has seen
// that it does.
func (d *Driver) CheckAmps() {
	d.tb.Helper()
	s := d.State()
	panel, now := &s.Site.Panel, d.Clock.Now()
	for c := range panel.Circuits {
		if a, limit := panel.Amps(s.Power, c, now), panel.LimitA(c); a > limit+1e-9 && !slices.ContainsFunc(d.Line.History(), seen) {
			d.fail("%s carries %.1f of %.1f A", panel.Circuits[c].Name, a, limit)
		}
	}
}

// seen says whether a record is of what somebody saw that may be too much.
func seen(r line.Record) bool {
	switch r.Event.(type) {
	case line.FoundOn, line.PluggedIn, line.PowerBack, line.BreakerReset:
		return true
	}
	return false
}

// Golden compares the screen with the kept one of that name.
func (d *Driver) Golden(name string) {
	d.tb.Helper()
	d.CheckFrame()
	d.kept(name, d.Screen())
}

// kept compares a text with the kept one of that name.
func (d *Driver) kept(name, got string) {
	d.tb.Helper()
	path := filepath.Join("..", "..", "testdata", "golden", "ui", filepath.FromSlash(name)+".golden")
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			d.tb.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			d.tb.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		d.tb.Fatalf("%v; run the test with -update to make it", err)
	}
	if got != string(want) {
		d.fail("the screen differs from %s:\n%s\nwhich is:\n%s", name, got, want)
	}
}

// Golden checks a screen at every size, in every language and theme: show brings a
// new program to it. Kept are the text at each size, English as 80x24 and others as
// 80x24.es, and where each look is, as 80x24.looks: from these two the screen
// follows in every theme.
func Golden(t *testing.T, name string, o Options, show func(d *Driver)) {
	for _, language := range say.Languages() {
		o.Prefs.Language = language
		for _, size := range Sizes {
			o.W, o.H = size[0], size[1]
			file := fmt.Sprintf("%dx%d", o.W, o.H)
			if language != "en" {
				file += "." + language
			}
			t.Run(file, func(t *testing.T) {
				d := New(t, o)
				show(d)
				d.Golden(name + "/" + file)
				d.CheckThemes()
				if file == "80x24" {
					d.kept(name+"/80x24.looks", d.looks())
				}
			})
		}
	}
}
