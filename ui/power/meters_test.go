package powerui_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/meter"
	"shedbell/ui/uitest"
)

type readings map[string]meter.Reading

func (r readings) Load(name string, _ time.Time) (meter.Reading, bool) {
	got, ok := r[name]
	return got, ok
}

func (readings) Weighs(string, time.Time) (float64, bool) { return 0, false }

// The list says for each load whether what it does is measured or told.
func TestMeasuredOrTold(t *testing.T) {
	says := readings{
		"spinner":    {Verdict: meter.On, AmpsA: 6.4, Speaks: true},
		"tub-blower": {Verdict: meter.Off, AmpsA: 0.01, Speaks: true},
		"rack-fans":  {Verdict: meter.On, AmpsA: 2.2, Least: true, Speaks: true},
		"drain-pump": {AmpsA: 3.1},
	}
	for _, size := range [][2]int{{80, 24}, {120, 40}} {
		sheet := linetest.Sheet()
		d := uitest.New(t, uitest.Options{Sheet: &sheet, W: size[0], H: size[1], Measured: says})
		d.Do(line.SwitchOn{Load: linetest.Blower}) // people say so, the meter does not
		d.Do(line.MarkOn{Load: linetest.Spinner, Meter: true})
		d.Do(line.MarkOn{Load: linetest.Fans, Setting: 1})
		d.Skip(10 * time.Second)
		d.Press("/", "1")
		if size[0] == 80 {
			d.ExpectLine("2 tub blower", "told; meter 0.0 A")
			d.ExpectLine("3 spinner", "measured 6.4 A")
		} else {
			d.ExpectLine("2 tub blower", "on, told; 0.0 A")
			d.ExpectLine("3 spinner", "on, measured 6.4 A")
			d.ExpectLine("4 rack fans", "on, 2.2 A or more")
			d.ExpectLine("6 drain pump", "off, told; meter silent")
			d.ExpectLine("7 lights", "told")
		}
		d.Press("0")
		d.Expect("HANDS OFF: spinner is on (meter, ")
	}
}
