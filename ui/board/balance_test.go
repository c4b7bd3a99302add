package board_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/meter"
	"shedbell/ui/uitest"
)

// scale is a balance at a station on which a weight stands still.
type scale string

func (scale) Load(string, time.Time) (meter.Reading, bool) { return meter.Reading{}, false }

func (s scale) Weighs(station string, _ time.Time) (float64, bool) {
	return 1237, station == string(s)
}

// What stands still on the balance is the net weight with Enter alone, and is kept as
// weighed; another station's balance is not asked.
func TestPackedFromTheBalance(t *testing.T) {
	d := open(t, uitest.Options{Measured: scale("packing table")})
	p := toPacking(d)
	d.Press("enter", "enter")
	d.Expect("from the balance")
	d.Press("enter", "enter")
	if b := d.State().Batch(p.Batch); b.NetG != 1237 || b.NetBy != line.Weighed {
		t.Errorf("%g g, %s", b.NetG, b.NetBy)
	}
	d = open(t, uitest.Options{Measured: scale("cutting table")})
	p = toPacking(d)
	d.Press("enter", "enter", "enter")
	if b := d.State().Batch(p.Batch); b.NetG == 0 || b.NetBy != line.Assumed {
		t.Errorf("without one: %g g, %s", b.NetG, b.NetBy)
	}
}
