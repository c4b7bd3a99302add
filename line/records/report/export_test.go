package report_test

import (
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/pace"
	"shedbell/line/records"
	"shedbell/line/records/report"
)

// What somebody counted on the growing racks leaves with its crop and its day of sowing,
// also where it is counted a second time; and what was thrown away leaves with its reason.
func TestCountsAndWhatWasThrownAwayAreExported(t *testing.T) {
	now := linetest.Morning
	s := line.NewState(linetest.Site(), linetest.Book())
	all := line.Decision{Events: []line.Event{line.FirstRecord(linetest.Site(), linetest.Book())}}.Records(s, now, "Ash")
	s = line.Apply(s, all[0])
	do := func(c line.Command) {
		t.Helper()
		next, made, no := line.Do(s, c, now, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s, all = next, append(all, made...)
	}
	do(line.CountGrowing{Crop: "pea", Sown: now.AddDate(0, 0, -4), Trays: 6})
	do(line.CountGrowing{Sowing: s.Growing[0].Sowing, Trays: 4, Why: "mould"})
	do(line.OpenDay{Sheet: line.Sheet{Date: "2026-12-03", Start: now, Crew: []string{"Ash"}, Crops: []line.Demand{{Crop: "pea", Trays: 4}}}})
	for range 5 {
		do(line.Advance{Batch: 1, To: line.Anywhere})
		now = now.Add(20 * time.Minute)
	}
	do(line.Finish{At: s.Batch(1).Step.Place})
	do(line.Start{Batch: 1, To: line.Anywhere})
	do(line.ThrowAway{Lot: s.Batch(1).Lot, Packages: 2, Why: "limp"})
	r := records.NewReader(records.Filter{})
	r.Pace, r.Detail = &pace.Learner{}, &records.Detail{}
	for _, rec := range all {
		r.Add(rec)
	}
	rows := map[string][][]report.Cell{}
	if _, err := report.Export(r.Book(), func(_ *report.Doc, s *report.Section) error { rows[s.Name] = s.Table.Rows; return nil }); err != nil {
		t.Fatal(err)
	}
	counts, thrown := rows["growing_counts"], rows["thrown_away"]
	if len(counts) != 2 || len(thrown) != 1 {
		t.Fatalf("%v, %v", counts, thrown)
	}
	for i, trays := range []string{"6", "4"} {
		if c := counts[i]; c[4].Text != "pea" || c[5].Text != "2026-11-29" || c[6].Text != trays {
			t.Errorf("count %d is %v", i, c)
		}
	}
	if c := thrown[0]; c[3].Text != s.Batch(1).Lot || c[4].Text != "2" || c[5].Text != "limp" {
		t.Errorf("thrown away: %v", c)
	}
}
