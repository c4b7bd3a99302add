package line_test

import (
	"slices"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/power"
)

// Greens that have waited wet for most of what their recipe allows are not asked to
// give up their machine for another load; fresh ones are.
func TestMachineOfLateGreensIsNotSwitchedOff(t *testing.T) {
	for _, tc := range []struct {
		name   string
		waited time.Duration // of the 15 minutes that the recipe allows
		asked  bool
	}{{"fresh", time.Minute, true}, {"late", 13 * time.Minute, false}} {
		t.Run(tc.name, func(t *testing.T) {
			s, now := wetLine(t, 0)
			s = must(t, s, line.Finish{At: line.Place{Station: linetest.Tub}}, now)
			now = now.Add(tc.waited)
			s = must(t, s, line.Start{Batch: 1, To: line.Anywhere}, now)
			v := s.Site.Panel.Judge(s.Power, power.Ask{Load: linetest.Washer}, now.Add(time.Minute))
			if v.Allowed {
				t.Fatal("the pressure washer may start beside the spinner")
			}
			if got := slices.Contains(v.SwitchOff, linetest.Spinner); got != tc.asked {
				t.Errorf("switch off %v; asked for the spinner: %v, want %v", v.SwitchOff, got, tc.asked)
			}
		})
	}
}
