package records_test

import (
	"context"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
	"shedbell/line/rehearse"
	"shedbell/line/say"
)

// rehearsed is the journal of days that were rehearsed, from the first record on.
func rehearsed(t testing.TB, days int, crew ...string) []line.Record {
	t.Helper()
	site := linetest.Site()
	site.Crew = crew
	first := line.Decision{Events: []line.Event{line.FirstRecord(site, linetest.Book())}}
	s := line.NewState(&line.Site{}, linetest.Book())
	var all []line.Record
	add := func(recs []line.Record) {
		for _, r := range recs {
			s = line.Apply(s, r)
		}
		all = append(all, recs...)
	}
	add(first.Records(s, linetest.Morning, crew[0]))
	for day := range days {
		now := linetest.Morning.AddDate(0, 0, day)
		sheet := linetest.Sheet()
		sheet.Date, sheet.Start, sheet.Crew = now.Format(time.DateOnly), now, crew
		put := func(c line.Command, at time.Time, by string) {
			t.Helper()
			_, recs, no := line.Do(s, c, at, by)
			if no != nil {
				t.Fatal(no)
			}
			add(recs)
		}
		put(line.OpenDay{Sheet: sheet}, now, crew[0])
		var recs []line.Record
		res, err := rehearse.Run(context.Background(), s, now, rehearse.Options{Seed: uint64(day) + 1, Delays: rehearse.Typical,
			Watch: func(_ *line.State, r line.Record) {
				r.By = crew[int(r.Seq)%len(crew)]
				recs = append(recs, r)
			}})
		if err != nil {
			t.Fatal(err)
		}
		add(recs)
		put(line.CloseDay{Note: "drain screen is in the left sink"}, res.Finish.Add(time.Minute), crew[0])
	}
	return all
}

func TestTimeSharesAddUp(t *testing.T) {
	b := linetest.ReadSlice(rehearsed(t, 2, "Ash", "Rowan"), records.Filter{})
	if len(b.Days) != 2 {
		t.Fatalf("%d days", len(b.Days))
	}
	for i := range b.Days {
		d := &b.Days[i]
		for _, p := range d.People {
			if got := p.Shares.Total(); got != d.Length() {
				t.Errorf("%s: the shares of %s add up to %s and the day is %s", d.Date, p.Name, got, d.Length())
			}
			if p.Shares[records.Free] < 0 || p.Shares[records.HandsOn] == 0 {
				t.Errorf("%s: %s has %v", d.Date, p.Name, p.Shares)
			}
		}
		t.Logf("%s: %s, hands %s, %+v", d.Date, d.Length(), d.Hands, d.Flow)
	}
	for i := range b.Batches {
		bt := &b.Batches[i]
		if got := bt.Shares.Total(); got != bt.Lead() {
			t.Errorf("%s: the shares add up to %s and it took %s: %v", bt.Name(), got, bt.Lead(), bt.Shares)
		}
		if bt.Fate != line.Cold || bt.Lot == "" || len(bt.Vessels) < 2 || bt.Revision != 1 {
			t.Errorf("%s: %+v", bt.Name(), bt)
		}
	}
}

func TestLittlesLaw(t *testing.T) {
	b := linetest.ReadSlice(rehearsed(t, 3, "Ash", "Rowan"), records.Filter{})
	for i := range b.Days {
		f := &b.Days[i].Flow
		// Little & Graves 2008, ch. 5: L = lambda W holds exactly over a time that
		// begins and ends with an empty system. WIP was counted from who came and
		// went, W from the shares of each batch.
		if f.WIP <= 0 || math.Abs(f.Rate*f.Lead.Hours()-f.WIP) > 1e-9*f.WIP {
			t.Errorf("%s: L %.6f, lambda W %.6f", b.Days[i].Date, f.WIP, f.Rate*f.Lead.Hours())
		}
	}
}

func TestWetWaitAgreesWithTheLine(t *testing.T) {
	all := rehearsed(t, 1, "Ash")
	s := line.NewState(&line.Site{}, linetest.Book())
	wet := map[int]time.Duration{}
	for _, r := range all {
		s = line.Apply(s, r)
		for i := range s.Batches {
			wet[s.Batches[i].ID] = s.Batches[i].WetSoFar
		}
	}
	b := linetest.ReadSlice(all, records.Filter{})
	for i := range b.Batches {
		if got, want := b.Batches[i].Wet, wet[b.Batches[i].ID]; got != want {
			t.Errorf("%s waited wet %s by the records and %s by the line", b.Batches[i].Name(), got, want)
		}
	}
}

func TestUndoneIsLeftOut(t *testing.T) {
	all := rehearsed(t, 1, "Ash")
	s := line.NewState(&line.Site{}, linetest.Book())
	var noisy []line.Record
	n := 0
	for _, r := range all {
		do := func(c line.Command) {
			next, recs, no := line.Do(s, c, s.At, "Ash")
			if no != nil {
				t.Fatal(no)
			}
			s, noisy = next, append(noisy, recs...)
		}
		if r.Seq == r.Group && s.Sheet != nil {
			n++
			do(line.AddMark{Text: "slip of the finger"})
			do(line.AddTrays{Demand: line.Demand{Crop: "pea", Trays: 3}})
			do(line.Undo{})
			do(line.Undo{})
		}
		shift := int64(len(noisy)) + 1 - r.Seq
		r.Seq, r.Group = r.Seq+shift, r.Group+shift
		if r.Seq < r.Group {
			t.Fatal("lost count")
		}
		s = line.Apply(s, r)
		noisy = append(noisy, r)
	}
	clean, _ := json.Marshal(linetest.ReadSlice(all, records.Filter{}).Time(records.ByStation))
	undone := linetest.ReadSlice(noisy, records.Filter{})
	got, _ := json.Marshal(undone.Time(records.ByStation))
	if string(clean) != string(got) || len(undone.Marks) != 0 || n < 20 {
		t.Errorf("%d undone actions left a trace:\n%s\n%s\n%v", n, clean, got, undone.Marks)
	}
}

func TestTraceAndRecall(t *testing.T) {
	all := rehearsed(t, 1, "Ash")
	s := line.NewState(&line.Site{}, linetest.Book())
	for _, r := range all {
		s = line.Apply(s, r)
	}
	lot := s.Past[0].Ran.Lot
	for _, c := range []line.Command{
		line.Sell{Lot: lot, Customer: "Corner kitchen", Packages: 2, Reference: "D-17"},
	} {
		_, recs, no := line.Do(s, c, s.At.Add(time.Hour), "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s = line.Apply(s, recs[0])
		all = append(all, recs...)
	}
	b := linetest.ReadSlice(all, records.Filter{})
	tr, err := b.Trace(lot)
	if err != nil || len(tr.Batches) != 1 || len(tr.Vessels) != 2 || len(tr.Sales) != 1 || len(tr.People) == 0 {
		t.Fatalf("%+v, %v", tr, err)
	}
	rec, err := b.Recall(lot)
	if err != nil {
		t.Fatal(err)
	}
	// Every batch went through one spinner that was cleaned at the end of the day.
	if lots := b.Lots(); len(rec.Shared) != len(lots)-1 || len(rec.Sales) != 1 {
		t.Errorf("%d of %d lots shared something with %s", len(rec.Shared), len(lots), lot)
	}
	water := 0
	for _, sh := range rec.Shared {
		if strings.Contains(say.Join(sh.How, " ").String(), "water") {
			water++
		}
	}
	if water < 1 || water > 3 {
		t.Errorf("%d lots shared water, and a water is for four batches", water)
	}
	if _, err := b.Trace("2026-12-03-999"); err == nil || !strings.Contains(err.Error(), "known are") {
		t.Errorf("an unknown lot gave %v", err)
	}
}

func TestBottleneck(t *testing.T) {
	// One person on a line whose machines are faster than hands: the hands are it.
	b := linetest.ReadSlice(rehearsed(t, 1, "Ash"), records.Filter{})
	n := b.Days[0].Flow.Bottleneck
	if !n.Hands || n.Load < 0.5 || n.Load > 1 || n.SaveAtMost <= 0 {
		t.Errorf("%+v", n)
	}
	if f := b.Days[0].Flow; math.Abs(f.HoursATray*float64(b.Days[0].Trays)-b.Days[0].Length().Hours()) > 1e-9 {
		t.Errorf("hours a tray %g", f.HoursATray)
	}
}

// The label says how cold by the limit of the line file, in both units.
func TestLabelKeepsColdByTheLimit(t *testing.T) {
	all := rehearsed(t, 1, "Ash")
	site := linetest.Site()
	site.Limits.List = []line.Limit{{Kind: line.EntryFridge, Bound: line.AtMost, Value: 39, Unit: line.UnitF, Source: "the buyer", Scope: "his greens"}}
	first := line.Decision{Events: []line.Event{line.FirstRecord(site, linetest.Book())}}
	all[0] = first.Records(&line.State{}, linetest.Morning, "Ash")[0]
	for _, l := range linetest.ReadSlice(all, records.Filter{}).Labels() {
		if text := say.Join(l.Lines(), "\n").String(); !strings.Contains(text, "KEEP COLD: 3.9 C (39 F) or below") {
			t.Errorf("the label says %s", text)
		}
	}
}

// The crops' shares add up to what all of them had together, by day and by station,
// less the chores, which are of no crop.
func TestCropsAddUp(t *testing.T) {
	all := rehearsed(t, 2, "Ash", "Rowan")
	whole := linetest.ReadSlice(all, records.Filter{})
	sums := map[string]records.Shares{}
	trays, batches := 0, 0
	for _, crop := range whole.Recipes.Crops() {
		b := linetest.ReadSlice(all, records.Filter{Crop: crop})
		var byDay, byStation, byBatch records.Shares
		for _, r := range b.Time(records.ByDay) {
			byDay.Add(r.Shares)
			trays, batches = trays+r.Trays, batches+r.Batches
		}
		for _, r := range b.Time(records.ByStation) {
			byStation.Add(r.Shares)
			s := sums[r.Name]
			s.Add(r.Shares)
			sums[r.Name] = s
		}
		for i := range b.Batches {
			byBatch.Add(b.Batches[i].Shares)
		}
		if byDay != byBatch || byStation != byBatch || byBatch.Total() == 0 {
			t.Errorf("%s: %v by day, %v by station, %v by batch", crop, byDay, byStation, byBatch)
		}
	}
	asked := 0
	for i := range whole.Days {
		asked += whole.Days[i].Trays
	}
	if trays != asked || batches != len(whole.Batches) {
		t.Errorf("%d trays and %d batches by crop, %d and %d in all", trays, batches, asked, len(whole.Batches))
	}
	for _, r := range whole.Time(records.ByStation) {
		if r.Name != "tray wash" && r.Name != "sanitizing" && r.Name != "sowing bench" && r.Name != "tub" && sums[r.Name] != r.Shares {
			t.Errorf("%s: %v by crop, %v in all", r.Name, sums[r.Name], r.Shares)
		}
	}
}

// A line file that is laid while a day's work is done is the line of what is added then;
// what was before keeps its stations and its limits.
func TestEachRecordIsReadWithItsLine(t *testing.T) {
	site := linetest.Site()
	limit := line.Limit{Kind: line.EntryFridge, Bound: line.AtMost, Value: 5, Unit: line.UnitC}
	site.Limits.List = []line.Limit{limit}
	s := line.NewState(site, linetest.Book())
	now := linetest.Morning
	all := []line.Record{{Seq: 1, Group: 1, At: now, Event: line.FirstRecord(site, linetest.Book())}}
	s = line.Apply(s, all[0])
	do := func(c line.Command) {
		t.Helper()
		now = now.Add(time.Minute)
		next, made, no := line.Do(s, c, now, "Ash")
		if no != nil {
			t.Fatalf("%T: %s", c, no.Error())
		}
		s, all = next, append(all, made...)
	}
	fridge := line.MakeEntry{Entry: line.Entry{Kind: line.EntryFridge, Initials: "A", Where: "fridge", Value: 6, Unit: line.UnitC}}
	sheet := linetest.Sheet()
	sheet.Crops = []line.Demand{{Crop: "pea", Trays: 2}}
	do(line.OpenDay{Sheet: sheet})
	do(line.Start{Batch: 1, To: line.Anywhere})
	do(fridge)
	do(line.Undo{})
	do(line.Scrap{Batch: 1, Reason: "a trial"})
	do(line.StartChore{Kind: line.WashTrays, To: line.Anywhere})
	do(line.Finish{At: line.Place{Station: linetest.TrayWash}})
	do(line.StartChore{Kind: line.SanitizeAll, To: line.Anywhere})
	now = now.Add(time.Hour)
	do(line.Finish{At: line.Place{Station: linetest.Sanitize}})
	do(line.StartChore{Kind: line.SowTrays, To: line.Anywhere})
	do(line.Finish{At: line.Place{Station: linetest.Sow}})

	other := *linetest.Site()
	other.Limits.List = []line.Limit{limit}
	other.Limits.List[0].Value = 8
	first := other.Stations[0]
	first.Name = "second table"
	other.Stations = append([]line.Station{other.Stations[linetest.Cold]}, other.Stations...)
	other.Stations = slices.Delete(other.Stations, linetest.Cold+1, linetest.Cold+2)
	other.Stations[1] = first
	do(line.LayLine{Site: other})
	do(line.AddTrays{Demand: line.Demand{Crop: "pea", Trays: 2}})
	do(line.Start{Batch: 2, To: line.Anywhere})
	do(line.Finish{At: line.Place{Station: 1}})
	do(fridge)

	book := linetest.ReadSlice(all, records.Filter{})
	steps := map[string]int{}
	for _, st := range book.Days[0].Stations {
		steps[st.Name] += st.Steps
	}
	if steps["second table"] != 1 || steps[site.Stations[linetest.Sow].Name] != 1 || steps[site.Stations[linetest.Cold].Name] != 0 {
		t.Errorf("steps %v", steps)
	}
	lines := book.Safety(line.EntryFridge)
	if len(lines) != 2 || !lines[0].Beside[0].Past || lines[1].Beside[0].Past {
		t.Errorf("6 C at most 5, and later at most 8: %+v", lines)
	}
	if was, is := s.Beside(&s.Entries[0]), s.Beside(&s.Entries[1]); !was[0].Past || is[0].Past {
		t.Errorf("the line says %+v and %+v", was, is)
	}
}
