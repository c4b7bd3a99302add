package uitest_test

import (
	"context"
	"errors"
	"runtime"
	"strings"
	"testing"
	"time"

	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

// A store that refuses: the action shows, marked as not saved, and nothing hangs.
func TestStoreThatRefuses(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Store.Refuse(errors.New("the disk is full"))
	d.Press("enter")
	d.Pass(time.Second)
	d.Expect("Not yet saved", "the disk is full", "inish cutting PEA 1")
	d.Store.Refuse(nil)
	d.Press("0") // whatever comes next is saved with it
	for d.Line.Wait(context.Background(), d.State().Seq) != nil {
		runtime.Gosched() // the writer tries again by itself
	}
	d.Pass(2 * time.Second)
	d.ExpectNot("Not yet saved")
}

// While the next action is on its way to a disk that has not taken the one before, no
// frame shows that one as saved.
func TestWhatIsNotSavedStaysMarked(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	d.Store.Refuse(errors.New("the disk is full"))
	d.Press("enter")
	d.Expect("Not yet saved", "inish cutting PEA 1")
	for i, frame := range d.PressUnsettled("0", "enter", "7", "enter") {
		if !strings.Contains(frame, "Not yet saved") {
			t.Errorf("frame %d shows what is not saved without saying so:\n%s", i, frame)
		}
	}
}

// A refusal is on its way to the disk like every record, which is nothing to alarm
// anybody with while the disk takes it.
func TestRefusalIsNotShownAsUnsaved(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet})
	frames := d.PressUnsettled("7", "enter")
	for _, frame := range frames {
		if strings.Contains(frame, "Not yet saved") {
			t.Errorf("a frame says that something is not saved:\n%s", frame)
		}
	}
	d.Expect("Not now: no tray is ready for tray wash")
}
