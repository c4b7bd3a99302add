package records_test

import (
	"context"
	"math"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
	"shedbell/line/rehearse"
)

// workedDays is days of a line as its records have them, with a few more
// trays on some of them.
func workedDays(t *testing.T, site *line.Site, crew []string, days int) *records.Book {
	t.Helper()
	site.Crew = crew[:1]
	first := line.Decision{Events: []line.Event{line.FirstRecord(site, linetest.Book())}}
	s := line.NewState(site, linetest.Book())
	all := first.Records(&line.State{}, linetest.Morning, "Ash")
	for i := range days {
		at := linetest.Morning.AddDate(0, 0, i)
		sheet := linetest.Sheet()
		sheet.Date, sheet.Start, sheet.Crew = at.Format(time.DateOnly), at, crew
		sheet.Crops[0].Trays += i % 3
		next, recs, no := line.Do(s, line.OpenDay{Sheet: sheet}, at, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		all = append(all, recs...)
		res, err := rehearse.Run(context.Background(), next, at, rehearse.Options{Watch: func(is *line.State, r line.Record) { next, all = is, append(all, r) }})
		if err != nil {
			t.Fatal(err)
		}
		if next.Sheet != nil {
			if next, recs, no = line.Do(next, line.CloseDay{}, res.Finish, "Ash"); no != nil {
				t.Fatal(no)
			}
		}
		s = next
		if last := all[len(all)-1].Seq; len(recs) > 0 && recs[0].Seq > last {
			all = append(all, recs...)
		}
	}
	return linetest.ReadSlice(all, records.Filter{})
}

// On a line with one shelf and hands to spare the shelf comes first; what it saves is the
// mean of the days' differences, and with a second one it is worth less.
func TestNextHourFindsTheShelf(t *testing.T) {
	saved := func(slots int) (top string, minutes float64) {
		site := linetest.Site()
		site.Stations[linetest.Rack].Slots = slots
		b := workedDays(t, site, []string{"Ash", "Rowan", "Hazel"}, 4)
		list, err := records.NextHour(context.Background(), b, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i := range list {
			c := &list[i]
			if c.Low <= 0 || c.Low > c.Minutes || c.Minutes > c.High || i > 0 && c.Minutes > list[i-1].Minutes {
				t.Errorf("row %d: %+v", i, *c)
			}
			if c.What.String() == "one more place at the rack" {
				minutes = c.Minutes
			}
		}
		if len(list) > 0 {
			top = list[0].What.String()
		}
		return top, minutes
	}
	top, one := saved(1)
	_, two := saved(2)
	if top != "one more place at the rack" || !(one > two) {
		t.Errorf("the top row is %q; a second shelf saves %.0f min a week, a third %.0f", top, one, two)
	}
}

// Saved minutes are worth the wage of all who would be done sooner; one more pair of hands
// costs money itself.
func TestWhatSavedTimeIsWorth(t *testing.T) {
	site := linetest.Site()
	site.Wage, site.Stations[linetest.Rack].Slots = 18, 1
	list, err := records.NextHour(context.Background(), workedDays(t, site, []string{"Ash", "Rowan"}, 3), nil)
	if err != nil || len(list) == 0 {
		t.Fatal(list, err)
	}
	for _, c := range list {
		want := c.Minutes / 60 * 18 * 2 // two people
		if c.Kind == "one-more-pair-hands" {
			want = 0
		}
		if math.Abs(c.Worth-want) > 1e-9 {
			t.Errorf("%s: worth %.2f, want %.2f", c.What, c.Worth, want)
		}
	}
}

// By hand for a week of one day: a rehearsal with and one without are what differs.
func TestNextHourIsTheDifferenceOfRehearsals(t *testing.T) {
	site := linetest.Site()
	b := workedDays(t, site, []string{"Ash"}, 3)
	list, err := records.NextHour(context.Background(), b, nil)
	if err != nil || len(list) == 0 {
		t.Fatal(list, err)
	}
	sum := 0.0
	for i := range b.Days {
		_, book, sheet := b.Days[i].Begin()
		ends := [2]time.Time{}
		for n, crew := range [][]string{{"Ash"}, {"Ash", "Rowan"}} {
			sheet.Crew = crew
			s, _, no := line.Do(line.NewState(site, book), line.OpenDay{Sheet: sheet}, b.Days[i].Opened, "Ash")
			if no != nil {
				t.Fatal(no)
			}
			res, err := rehearse.Run(context.Background(), s, b.Days[i].Opened, rehearse.Options{})
			if err != nil {
				t.Fatal(err)
			}
			ends[n] = res.Finish
		}
		sum += ends[0].Sub(ends[1]).Minutes()
	}
	want := sum / 3 * 3 / 4 // three days in four weeks
	found := false
	for _, c := range list {
		if c.What.String() == "one more pair of hands" {
			if found = true; math.Abs(c.Minutes-want) > 0.01 {
				t.Errorf("%.2f min a week, want %.2f", c.Minutes, want)
			}
		}
	}
	if !found {
		t.Errorf("hands are not listed: %+v", list)
	}
}
