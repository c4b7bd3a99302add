package pages_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
	"shedbell/line/rehearse"
	"shedbell/ui/uitest"
)

// oneShelf is some days of a line that has one shelf, and the line after them.
func oneShelf(t *testing.T, days int) (o uitest.Options) {
	t.Helper()
	var all []line.Record
	site := linetest.Site()
	site.Stations[linetest.Rack].Slots = 1
	s := line.NewState(site, linetest.Book())
	all = line.Decision{Events: []line.Event{line.FirstRecord(site, linetest.Book())}}.Records(&line.State{}, linetest.Morning, "Ash")
	for i := range days {
		at := linetest.Morning.AddDate(0, 0, i-days)
		sheet := linetest.Sheet()
		sheet.Date, sheet.Start = at.Format(time.DateOnly), at
		sheet.Crops = slices.Clone(sheet.Crops)
		sheet.Crops[0].Trays += i % 3
		for _, c := range []line.Command{line.OpenDay{Sheet: sheet}, line.CloseDay{}} {
			next, recs, no := line.Do(s, c, at, "Ash")
			if no != nil {
				t.Fatal(no)
			}
			s, all = next, append(all, recs...)
			if _, opens := c.(line.OpenDay); !opens || s.Sheet == nil {
				break
			}
			res, err := rehearse.Run(context.Background(), s, at, rehearse.Options{Watch: func(is *line.State, r line.Record) { s, all = is, append(all, r) }})
			if err != nil {
				t.Fatal(err)
			}
			if at = res.Finish; s.Sheet == nil {
				break
			}
		}
	}
	o.Site, o.History = site, all
	return o
}

// The shelf comes first; Enter twice takes it on with its prediction, and then it is
// listed as taken and cannot be taken on again.
func TestTheNextHourIsTakenOn(t *testing.T) {
	o := oneShelf(t, 5)
	d := uitest.New(t, o)
	d.Press("/", "e")
	d.ExpectLine("→ one more place at the rack", "min a week")
	seq := d.State().Seq
	d.Press("enter")
	d.Expect("Take on: one more place at the rack?")
	if d.State().Seq != seq {
		t.Fatal("one key took it on")
	}
	d.Press("enter")
	d.ExpectLine("→ one more place at the rack", "taken on")
	d.Expect("predicted")
	var marks []line.MarkAdded
	for _, r := range d.Store.Records {
		if m, ok := r.Event.(line.MarkAdded); ok {
			marks = append(marks, m)
		}
	}
	want, err := records.NextHour(context.Background(), linetest.ReadSlice(o.History, records.Filter{}), nil)
	if err != nil || len(want) == 0 || len(marks) != 1 || marks[0].Expects != want[0].Expects() {
		t.Errorf("marks %+v, want %+v (%v)", marks, want, err)
	}
	seq = d.State().Seq
	d.Press("enter", "enter")
	if d.State().Seq != seq {
		t.Error("taken on twice")
	}
}

func TestNextHourScreens(t *testing.T) {
	uitest.Golden(t, "next-hour", oneShelf(t, 5), func(d *uitest.Driver) { d.Press("/", "e") })
	uitest.Golden(t, "next-hour-few", uitest.Options{}, func(d *uitest.Driver) { d.Press("/", "e") })
}
