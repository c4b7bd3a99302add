package line_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
)

// What cannot be meant is refused with what would be right; nothing is kept of it. The
// contents that an entry needs are those of 21 CFR 112.161(a).
func TestBadEntriesAreRefused(t *testing.T) {
	s := linetest.Open()
	now := s.At.Add(time.Hour)
	good := line.Entry{Kind: line.EntryFridge, Initials: "A", Value: 3.5, Unit: line.UnitC}
	for want, change := range map[string]func(e *line.Entry){
		"a reading needs its unit: C or F":                    func(e *line.Entry) { e.Unit = line.UnitNone },
		"500 C can't be right. Give -40 to 60 C":              func(e *line.Entry) { e.Value = 500 },
		"NaN C can't be right":                                func(e *line.Entry) { e.Value = math.NaN() },
		"fridge temperature is not measured in ppm":           func(e *line.Entry) { e.Unit = line.UnitPPM },
		"Record it as a late entry, which shows both times":   func(e *line.Entry) { e.Made = now.Add(-time.Hour) },
		"is more than a year ago":                             func(e *line.Entry) { e.Made, e.Late = now.AddDate(-2, 0, 0), true },
		"has not come yet":                                    func(e *line.Entry) { e.Made = now.Add(time.Hour) },
		"sign the entry with your initials":                   func(e *line.Entry) { e.Initials = " " },
		"is not a set of initials":                            func(e *line.Entry) { e.Initials = "A\x1b" },
		"there's no entry 999 to correct":                     func(e *line.Entry) { e.Corrects = 999 },
		"the records have no entry of the kind":               func(e *line.Entry) { e.Kind = "gossip" },
		"name the sanitizer as its label does":                func(e *line.Entry) { e.Kind, e.Unit, e.Where = line.EntryStrength, line.UnitPPM, "tub" },
		"1e+07 ppm can't be right. Give 0 to 1e+06 ppm":       func(e *line.Entry) { e.Kind, e.Unit, e.Value = line.EntryStrength, line.UnitPPM, 1e7 },
		"too long or garbled. Give at most 1000 letters":      func(e *line.Entry) { e.Text = "\xff" },
		"the day 2099-01-01 can't have been reviewed yet":     func(e *line.Entry) { *e = line.Entry{Kind: line.EntryReview, Initials: "A", Day: "2099-01-01"} },
		"say where: the station, the fridge or the surface":   func(e *line.Entry) { *e = line.Entry{Kind: line.EntryHandWash, Initials: "A"} },
		"a reading needs its unit: this entry takes no value": func(e *line.Entry) { *e = line.Entry{Kind: line.EntryHandWash, Initials: "A", Where: "sink", Value: 3} },
	} {
		e := good
		change(&e)
		after, recs, no := line.Do(s, line.MakeEntry{Entry: e}, now, "Ash")
		if no == nil || !strings.Contains(no.Error(), want) || len(recs) > 0 || len(after.Entries) > 0 {
			t.Errorf("%+v: %v, not %q", e, no, want)
		}
	}
}

// A late entry shows when it was and when it was entered. A correction, also after the
// day was closed, stands beside the first entry and overwrites nothing.
func TestLateEntriesAndCorrectionsAreVisible(t *testing.T) {
	s := line.NewState(&line.Site{}, linetest.Book())
	for r := range linetest.Years(linetest.Morning, 1) { // a day that was closed
		s = line.Apply(s, r)
	}
	now, had := s.At.Add(2*time.Hour), len(s.Entries)
	do := func(c line.Command, at time.Time) line.KeptEntry {
		t.Helper()
		next, _, no := line.Do(s, c, at, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s = next
		return s.Entries[len(s.Entries)-1]
	}
	first := do(line.MakeEntry{Entry: line.Entry{Kind: line.EntryFridge, Initials: "A", Value: 6, Unit: line.UnitC, Made: now.Add(-time.Hour), Late: true}}, now)
	if !first.Entry.Late || !first.At.Equal(now) || !first.Entry.Made.Equal(now.Add(-time.Hour)) {
		t.Errorf("%+v", first)
	}
	later := now.AddDate(0, 0, 1)
	fix := do(line.MakeEntry{Entry: line.Entry{Kind: line.EntryFridge, Initials: "R", Value: 4, Unit: line.UnitC, Corrects: first.Seq}}, later)
	if n := len(s.Entries); n != had+2 || s.Entries[had].Entry != first.Entry || s.Entries[had].Corrected != fix.Seq {
		t.Fatalf("%d entries, %+v", n, s.Entries)
	}
	if !fix.Entry.Made.Equal(first.Entry.Made) || !fix.Entry.Late || !fix.At.Equal(later) {
		t.Errorf("%+v", fix)
	}
	if _, _, no := line.Do(s, line.AddTrays{Demand: line.Demand{Crop: "pea", Trays: 2}}, later, "Ash"); no == nil || no.Rule != line.RuleDay {
		t.Errorf("trays on a closed day: %v", no)
	}
}
