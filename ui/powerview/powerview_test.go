package powerview_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

func open(t *testing.T, w, h int) *uitest.Driver {
	sheet := linetest.Sheet()
	return uitest.New(t, uitest.Options{Sheet: &sheet, W: w, H: h})
}

// busy has the morning's work done and a machine switched on by hand.
func busy(d *uitest.Driver) {
	d.Work(20)
	d.Do(line.SwitchOn{Load: linetest.Blower})
	d.Skip(4 * time.Minute)
	d.Press("/", "1")
}

func TestScreens(t *testing.T) {
	sheet := linetest.Sheet()
	o := uitest.Options{Sheet: &sheet}
	uitest.Golden(t, "power/busy", o, func(d *uitest.Driver) {
		busy(d)
		d.Press("4")
	})
	uitest.Golden(t, "power/refused", o, func(d *uitest.Driver) {
		busy(d)
		d.Press("1", "enter")
	})
	uitest.Golden(t, "power/asked", o, func(d *uitest.Driver) {
		busy(d)
		d.Press("2", ".")
	})
	uitest.Golden(t, "power/tripped", o, func(d *uitest.Driver) {
		busy(d)
		d.Press("3", ".", "enter")
		d.Skip(time.Minute)
	})
}
