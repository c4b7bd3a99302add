package powerui

import (
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/act"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// day is a line on which a test switches things and reads the last hour.
type day struct {
	before, s *line.State
	records   []line.Record
	now       time.Time
}

func newDay() *day {
	s := line.NewState(linetest.Site(), linetest.Book())
	return &day{before: s, s: s, now: linetest.Morning}
}

func (d *day) do(c line.Command) bool {
	next, records, no := line.Do(d.s, c, d.now, "Ash")
	if no != nil {
		return false
	}
	d.s, d.records = next, append(d.records, records...)
	return true
}

func (d *day) env() *screen.Env {
	return &screen.Env{Context: act.Context{Words: words.English(), State: d.s, Now: d.now}, History: d.records, Before: d.before}
}

// Known currents at known instants, in a column for each minute.
func TestColumnsOfKnownCurrents(t *testing.T) {
	d := newDay()
	d.do(line.SwitchOn{Load: linetest.Blower}) // 07:30, 5.8 A, 25 A while starting
	d.now = d.now.Add(10 * time.Minute)
	d.do(line.SwitchOn{Load: linetest.Drain, For: 4 * time.Minute}) // 4 A, switches itself off
	d.now = d.now.Add(10 * time.Minute)
	d.do(line.SwitchOff{Load: linetest.Blower})
	d.now = d.now.Add(5 * time.Minute) // 07:55
	var h past
	h.read(d.env())
	cols := h.columns(d.now, d.s.Site, 60)
	at := func(minute int) level { return cols[59-(55-minute)][0] }
	for _, tc := range []struct {
		minute int
		want   level
	}{
		{30, level{true, 5.8, 25}}, {31, level{true, 5.8, 5.8}}, {39, level{true, 5.8, 5.8}}, {40, level{true, 9.8, 9.8}},
		{43, level{true, 9.8, 9.8}}, {44, level{true, 5.8, 5.8}}, {49, level{true, 5.8, 5.8}}, {50, level{true, 0, 0}},
		{51, level{true, 0, 0}}, {55, level{true, 0, 0}}, {29, level{}},
	} {
		if got := at(tc.minute); got != tc.want {
			t.Errorf("07:%d: %+v, want %+v", tc.minute, got, tc.want)
		}
	}
}

// Reading record by record and frame by frame gives what reading all at once does.
func TestPastIsIncremental(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := newDay()
		var kept past
		width := rapid.IntRange(8, 120).Draw(rt, "width")
		for range rapid.IntRange(1, 40).Draw(rt, "steps") {
			load := rapid.IntRange(0, len(d.s.Site.Panel.Loads)-1).Draw(rt, "load")
			switch rapid.IntRange(0, 6).Draw(rt, "what") {
			case 0, 1, 2:
				d.do(line.SwitchOn{Load: load, For: time.Duration(rapid.IntRange(0, 600).Draw(rt, "for")) * time.Second})
			case 3:
				d.do(line.SwitchOff{Load: load})
			case 4:
				d.do(line.MarkTripped{Circuit: d.s.Site.Panel.Loads[load].Circuit})
			case 5:
				d.do(line.ResetBreaker{Circuit: d.s.Site.Panel.Loads[load].Circuit})
			case 6:
				d.do(line.Undo{})
			}
			d.now = d.now.Add(time.Duration(rapid.IntRange(0, 900).Draw(rt, "seconds")) * time.Second)
			if rapid.Bool().Draw(rt, "other width") {
				width = rapid.IntRange(8, 120).Draw(rt, "width")
			}
			if len(d.records) == 0 {
				continue
			}
			kept.read(d.env())
			var fresh past
			fresh.read(d.env())
			a, b := kept.columns(d.now, d.s.Site, width), fresh.columns(d.now, d.s.Site, width)
			if !reflect.DeepEqual(a, b) {
				rt.Fatalf("at %s the kept columns differ:\n%v\n%v", d.now.Format("15:04:05"), a, b)
			}
		}
	})
}

// The parts of the screen neither overlap nor leave it, and what was asked for is
// given as far as there are rows.
func TestArrange(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w, h := rapid.IntRange(1, 300).Draw(rt, "w"), rapid.IntRange(0, 90).Draw(rt, "h")
		s := Shape{Circuits: rapid.IntRange(1, 12).Draw(rt, "circuits"), Legs: rapid.IntRange(0, 4).Draw(rt, "legs"),
			Loads: rapid.IntRange(1, 40).Draw(rt, "loads"), Caution: rapid.IntRange(1, 3).Draw(rt, "caution"), Panel: rapid.IntRange(0, 9).Draw(rt, "panel")}
		l := Arrange(w, h, s)
		boxes := []Box{l.Circuits, l.Loads, l.Panel, l.Caution}
		if h < 14 {
			return // too low for everything; drawing clips
		}
		for i, b := range boxes {
			if b.X < 0 || b.Y < 0 || b.W < 0 || b.H < 1 || b.X+b.W > w || b.Y+b.H > h {
				rt.Fatalf("box %d is %+v on %d by %d", i, b, w, h)
			}
			for _, o := range boxes[:i] {
				if b.X < o.X+o.W && o.X < b.X+b.W && b.Y < o.Y+o.H && o.Y < b.Y+b.H {
					rt.Fatalf("%+v and %+v overlap", b, o)
				}
			}
			for _, y := range l.Rules {
				if b.Y <= y && y < b.Y+b.H {
					rt.Fatalf("a line goes through %+v", b)
				}
			}
		}
		if h >= 20 && l.Panel.H < min(s.Panel, h-s.Caution-leastLoads-leastCircuits-2) {
			rt.Fatalf("the panel has %d rows and needs %d: %+v", l.Panel.H, s.Panel, l)
		}
	})
}
