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
	d.Expect("Not yet saved", "the disk is full", "Finish cutting PEA 1")
	d.Store.Refuse(nil)
	d.Press("0") // whatever comes next is saved with it
	for d.Line.Wait(context.Background(), d.State().Seq) != nil {
		runtime.Gosched() // the writer tries again by itself
	}
	d.Pass(2 * time.Second)
	d.ExpectNot("Not yet saved")
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
	d.Expect("Not now: 0 trays are ready for tray-wash")
}
