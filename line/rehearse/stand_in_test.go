package rehearse_test

import (
	"context"
	"testing"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/rehearse"
)

// Whatever is out of use, people who follow the prompts end the day: every tray is cold,
// and it takes longer than with everything in order.
func TestADayWithMachinesOutOfUse(t *testing.T) {
	end := func(out ...line.Place) *rehearse.Result {
		s := linetest.Open()
		for _, p := range out {
			var no *line.Refusal
			if s, _, no = line.Do(s, line.ReportTrouble{At: p, What: "won't run", Effect: line.EffectOut}, linetest.Morning, "Ash"); no != nil {
				t.Fatal(no)
			}
		}
		r, err := rehearse.Run(context.Background(), s, linetest.Morning, rehearse.Options{})
		if err != nil {
			t.Fatalf("%v out of use: %v", out, err)
		}
		for i := range r.Final.Batches {
			if b := &r.Final.Batches[i]; b.Fate != line.Cold {
				t.Errorf("%v out of use: %s is not cold", out, b.Name())
			}
		}
		return r
	}
	in := end().Finish
	for _, station := range []int{linetest.Cut, linetest.Tub, linetest.Spin, linetest.Rack, linetest.Pack, linetest.TrayWash} {
		if by := end(line.Place{Station: station, Slot: line.WholeStation}).Finish; !by.After(in) {
			t.Errorf("without station %d the day ends at %s, with it at %s", station, by.Format("15:04:05"), in.Format("15:04:05"))
		}
	}
	end(line.Place{Station: linetest.Spin}, line.Place{Station: linetest.Rack, Slot: line.WholeStation}, line.Place{Station: linetest.Tub})
}
