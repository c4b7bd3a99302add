package records_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
)

// Minutes of work by hand are one sum: of stations, of people and of the day, also where
// the records have one person do two things at once.
func TestHandsAreOneSum(t *testing.T) {
	for _, crew := range [][]string{{"Ash"}, {"Ash", "Rowan"}, {"Ash", "Rowan", "Hazel"}} {
		b := linetest.ReadSlice(rehearsed(t, 2, crew...), records.Filter{})
		for i := range b.Days {
			d := &b.Days[i]
			var stations, people time.Duration
			for k := range d.Stations {
				stations += d.Stations[k].Shares[records.HandsOn]
			}
			for _, p := range d.People {
				people += p.Shares[records.HandsOn]
			}
			if stations == 0 || stations != people || people != d.Hands || d.Hands != d.Shares[records.HandsOn] {
				t.Errorf("%s with %d people: %s by station, %s by person, %s and %s of the day",
					d.Date, len(crew), stations, people, d.Hands, d.Shares[records.HandsOn])
			}
		}
	}
}

// Each person's minutes are what that person did, reckoned here by hand: called away
// from cutting to the tub, the cut given over, a helper for an hour with a break.
func TestMinutesOfEachPerson(t *testing.T) {
	site := linetest.Site() // hands 30 s at each end of tub and spinner, 10 s of way between stations
	site.Crew, site.Stations[linetest.Cut].Slots = []string{"Ash", "Rowan"}, 2
	s := line.NewState(&line.Site{}, linetest.Book())
	var all []line.Record
	now := linetest.Morning
	do := func(by string, c line.Command) {
		t.Helper()
		next, recs, no := line.Do(s, c, now, by)
		if no != nil {
			t.Fatalf("%s: %#v: %s", now.Format(time.TimeOnly), c, no.Error())
		}
		s, all = next, append(all, recs...)
	}
	first := line.Decision{Events: []line.Event{line.FirstRecord(site, linetest.Book())}}
	for _, r := range first.Records(s, now, "Ash") {
		s, all = line.Apply(s, r), append(all, r)
	}
	at := func(minutes float64) { now = linetest.Morning.Add(time.Duration(minutes * float64(time.Minute))) }
	sheet := linetest.Sheet()
	sheet.Crew, sheet.Apart = []string{"Ash", "Rowan"}, nil
	sheet.Hours = []line.Hours{{Name: "Rowan", From: now.Add(5 * time.Minute), To: now.Add(65 * time.Minute)}}
	do("Ash", line.OpenDay{Sheet: sheet})
	do("Ash", line.Start{Batch: 1, To: line.Anywhere}) // Ash cuts from 0
	at(10)
	do("Ash", line.Advance{Batch: 1, To: line.Anywhere}) // until 9:30 with the hands that load the tub: 9:30 of cutting, 0:30 at the tub
	at(11)
	do("Ash", line.Start{Batch: 2, To: line.Anywhere}) // Ash cuts again from 11
	do("Rowan", line.Start{Batch: 3, To: line.Anywhere})
	at(15)
	do("Ash", line.Advance{Batch: 1, To: line.Anywhere}) // called away: 1:00 at tub and spinner, 0:10 between them
	at(20)
	do("Rowan", line.GiveOver{At: s.Batch(3).Step.Place, To: "Ash"}) // Rowan cut 9:00
	do("Rowan", s.Goes("Rowan", now, now.Add(10*time.Minute)))
	at(25)
	do("Ash", line.Finish{At: s.Batch(2).Step.Place})
	at(31)
	do("Rowan", line.Finish{At: s.Batch(1).Step.Place}) // 0:30 at the spinner
	at(40)
	do("Ash", line.Finish{At: s.Batch(3).Step.Place})
	for i := range s.Batches {
		if s.Batches[i].Fate != line.Cold {
			do("Ash", line.Scrap{Batch: s.Batches[i].ID, Reason: "a test"})
		}
	}
	at(90)
	do("Ash", line.CloseDay{})
	d := linetest.ReadSlice(all, records.Filter{}).Days[0]
	// Ash: cutting 0-10 less 0:30; tub 0:30; cutting 11-40 (from 20 on two cuts, one pair of
	// hands) less 1:00 away at 14-15; tub and spinner 1:00. Rowan: 11-20 and 0:30.
	want := map[string][2]time.Duration{"Ash": {39 * time.Minute, 90 * time.Minute}, "Rowan": {9*time.Minute + 30*time.Second, 50 * time.Minute}}
	for _, p := range d.People {
		if got := p.Shares[records.HandsOn]; got != want[p.Name][0] {
			t.Errorf("%s worked %s, want %s", p.Name, got, want[p.Name][0])
		}
		if got := p.Shares.Total(); got != want[p.Name][1] {
			t.Errorf("%s was on the line for %s, want %s", p.Name, got, want[p.Name][1])
		}
	}
	if len(d.People) != 2 || d.Crew != 2 {
		t.Errorf("%d people, at most %d at a time", len(d.People), d.Crew)
	}
}
