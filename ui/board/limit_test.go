package board_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/uitest"
)

// After two trips against the model the board offers the lower limit with one key, which
// asks before it counts.
func TestTwoTripsOfferALowerLimit(t *testing.T) {
	site := linetest.Site()
	c := site.Panel.Loads[linetest.Washer].Circuit
	d := uitest.New(t, uitest.Options{Site: site})
	for range 2 {
		d.ExpectNot("count wet wall as")
		d.Do(line.SwitchOn{Load: linetest.Washer})
		d.Clock.Advance(time.Hour)
		d.Do(line.MarkTripped{Circuit: c})
		d.Clock.Advance(time.Minute)
		d.Do(line.ResetBreaker{Circuit: c})
		d.Do(line.MarkOff{Load: linetest.Washer})
		d.Clock.Advance(time.Hour)
		d.Pass(time.Second)
	}
	d.Expect("x count wet wall as 14 A")
	d.Press("x")
	d.Expect("wet wall tripped 2 times where it should have held")
	if len(d.State().Learned) != 0 {
		t.Fatal("one key was enough")
	}
	d.Press("x")
	if got := d.State().Site.Panel.Circuits[c].EffectiveA; got != 14 {
		t.Fatalf("it counts as %g A\n%s", got, d.Screen())
	}
	d.Expect("wet wall counts as 14 A from now on")
	d.ExpectNot("x count")
}
