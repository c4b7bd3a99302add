package uitest_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

// failing is a test that keeps its failure for itself.
type failing struct{ text string }

func (f *failing) Helper()                      {}
func (f *failing) Fatal(args ...any)            { f.text = fmt.Sprint(args...); panic(errStop) }
func (f *failing) Fatalf(s string, args ...any) { f.Fatal(fmt.Sprintf(s, args...)) }
func (f *failing) Cleanup(func())               {}

var errStop = errors.New("the test has failed")

// fails runs fn on a driver and returns what the failure said.
func fails(t *testing.T, fn func(d *uitest.Driver)) string {
	t.Helper()
	f := &failing{}
	sheet := linetest.Sheet()
	d := uitest.New(f, uitest.Options{Sheet: &sheet})
	t.Cleanup(func() { d.Line.Close() })
	func() {
		defer func() {
			if r := recover(); r != nil && r != any(errStop) {
				panic(r)
			}
		}()
		fn(d)
	}()
	return f.text
}

// The driver itself: what should fail a test does, and shows the whole screen.
func TestFailuresShowTheScreen(t *testing.T) {
	for name, fn := range map[string]func(d *uitest.Driver){
		"Expect":     func(d *uitest.Driver) { d.Expect("no such words") },
		"ExpectNot":  func(d *uitest.Driver) { d.ExpectNot("Cut PEA 1") },
		"ExpectLine": func(d *uitest.Driver) { d.ExpectLine("PEA 1", "Cut") },
	} {
		text := fails(t, fn)
		if !strings.Contains(text, "the screen:") || !strings.Contains(text, "Cut PEA 1") {
			t.Errorf("%s failed with %q, want a failure with the screen", name, text)
		}
	}
	if text := fails(t, func(d *uitest.Driver) { d.Expect("Cut PEA 1,   3 trays") }); text != "" {
		t.Errorf("failed without reason: %s", text)
	}
}

// Every second brings a tick, and each tick asks for the next one.
func TestTimePassesInTicks(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Press("enter")
	for _, want := range []string{"By hand 0:01", "By hand 0:02", "By hand 0:03"} {
		d.Pass(time.Second)
		d.Expect(want)
	}
	d.Pass(57 * time.Second)
	d.Expect("By hand 1:00")
}
