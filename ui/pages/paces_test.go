package pages_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/pace"
	"shedbell/line/records"
	"shedbell/line/rehearse"
	"shedbell/ui/screen"
	"shedbell/ui/uitest"
)

// learned is what twenty days show on which packing takes twice what the line file says,
// with forecasts that were half an hour early at first.
var learned = func() *pace.Learned {
	all := linetest.Worked(20, func(st *line.Station, _, _ string) (line.Pace, bool) {
		return line.Pace{Fixed: 2 * time.Minute, PerTray: 150 * time.Second}, st.Kind == line.Pack
	}, rehearse.Typical)
	r := records.NewReader(records.Filter{})
	r.Pace = &pace.Learner{}
	for _, rec := range all {
		r.Add(rec)
	}
	rnd := rand.New(rand.NewPCG(1, 1))
	for _, d := range r.Book().Days {
		p := pace.Promise{Date: d.Date, At: d.Opened}
		for i := range line.PromiseParts {
			p.Quantile = append(p.Quantile, 200+20*distuv.UnitNormal.Quantile(float64(i+1)/20))
		}
		p.P50, p.P90 = r.Pace.Learned("").Width().Apply(d.Opened, d.Opened.Add(200*time.Minute), d.Opened.Add(226*time.Minute))
		r.Pace.Promise(p)
		r.Pace.DayEnded(d.Date, d.Opened.Add(time.Duration(230+20*rnd.NormFloat64())*time.Minute))
	}
	return r.Pace.Learned("")
}()

func showsLearned(s *line.State, now time.Time) screen.Forecast {
	f := uitest.Planned(s, now)
	f.Learned, f.Advice.Paces = learned, learned.Paces()
	return f
}

func TestPacesScreens(t *testing.T) {
	sheet := linetest.Sheet()
	o := uitest.Options{Sheet: &sheet, Forecast: showsLearned}
	uitest.Golden(t, "paces", o, func(d *uitest.Driver) { d.Press("/", "d", "+", "+") })
	uitest.Golden(t, "paces-pin", o, func(d *uitest.Driver) { d.Press("/", "d", "enter") })
	uitest.Golden(t, "paces-promises", o, func(d *uitest.Driver) { d.Press("/", "d", "9") })
}

// A pace is pinned in a few keys and then holds everywhere; forgotten it goes by the
// records again, and what these show is only dropped when asked twice.
func TestPinAndForget(t *testing.T) {
	sheet := linetest.Sheet()
	d := uitest.New(t, uitest.Options{Sheet: &sheet, Forecast: showsLearned})
	d.Press("/", "d")
	d.ExpectLine("→ cutting table", "3.3")
	d.Press("enter")
	d.Expect("Pin the pace: cutting table")
	d.Press("5", "enter", "0", "enter", "enter")
	d.ExpectLine("→ cutting table", "pinned 5.0")
	if p := d.State().Pins; len(p) != 1 || p[0].Pace != (line.Pace{PerTray: 5 * time.Minute}) {
		t.Fatalf("pins: %+v", p)
	}
	d.Press(".")
	d.ExpectLine("→ cutting table", "3.3")
	if p := d.State().Pins; len(p) != 0 {
		t.Fatalf("pins: %+v", p)
	}
	seq := d.State().Seq
	d.Press(".")
	d.Expect("Forget what was learned so far: cutting table?")
	if d.State().Seq != seq {
		t.Error("what was learned is dropped by one key")
	}
	d.Press(".")
	if d.State().Seq != seq+1 {
		t.Error("nothing was forgotten")
	}
}
