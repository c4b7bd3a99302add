package records_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/chemical"
	"shedbell/line/linetest"
	"shedbell/line/records"
)

// A sloppy day leaves an open item for each thing: too strong, too weak, a product past its
// date, a warm fridge, and a day that nobody has reviewed. A corrective action about a
// reading closes its item, a review that of its day.
func TestASloppyDayLeavesOpenItems(t *testing.T) {
	site := linetest.Site()
	site.Limits.Sanitizers = []line.Sanitizer{{Name: "Old Blue", Holds: chemical.Peroxide, Uses: []line.Use{line.UseSurface}, LeastPPM: 500, Expires: "2026-12-02"}}
	s, now := line.NewState(site, linetest.Book()), linetest.Morning
	first := line.Decision{Events: []line.Event{line.FirstRecord(site, linetest.Book())}}
	all := first.Records(s, now, "Ash")
	s = line.Apply(s, all[0])
	do := func(c line.Command) int64 {
		t.Helper()
		now = now.Add(time.Minute)
		next, made, no := line.Do(s, c, now, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s, all = next, append(all, made...)
		return made[0].Seq
	}
	enter := func(e line.Entry) int64 {
		e.Initials = "A"
		if e.Where == "" {
			e.Where = "surfaces"
		}
		return do(line.MakeEntry{Entry: e})
	}
	strength := func(product string, ppm float64) int64 {
		return enter(line.Entry{Kind: line.EntryStrength, Use: line.UseSurface, Product: product, Value: ppm, Unit: line.UnitPPM})
	}
	do(line.OpenDay{Sheet: line.Sheet{Date: "2026-12-03", Start: now, Crew: []string{"Ash"}, Crops: []line.Demand{{Crop: "pea", Trays: 4}}}})
	strong, weak := strength("agua oxigenada", 14_000), strength("Old Blue", 0)
	enter(line.Entry{Kind: line.EntryFridge, Value: 3, Unit: line.UnitC, Where: "fridge"})
	warm := enter(line.Entry{Kind: line.EntryFridge, Value: 9, Unit: line.UnitC, Where: "fridge"})
	do(line.Scrap{Batch: 1, Reason: "a test"})
	do(line.CloseDay{})
	items := func() (seqs []int64, said []string) {
		for _, o := range linetest.ReadSlice(all, records.Filter{}).OpenItems() {
			seqs, said = append(seqs, o.Seq), append(said, o.What.String())
		}
		return seqs, said
	}
	seqs, said := items()
	if want := []int64{strong, weak, weak, warm, 0}; !slices.Equal(seqs, want) {
		t.Fatalf("open are %v %q, want %v", seqs, said, want)
	}
	for i, part := range []string{"14000", "below at least 500", "past its date", "9", "2026-12-03 are not reviewed"} {
		if !strings.Contains(said[i], part) {
			t.Errorf("%q does not say %q", said[i], part)
		}
	}
	enter(line.Entry{Kind: line.EntryCorrective, About: strong, Text: "rinsed, mixed anew"})
	enter(line.Entry{Kind: line.EntryCorrective, About: weak, Text: "a fresh bottle"})
	enter(line.Entry{Kind: line.EntryReview, Day: "2026-12-03"})
	if seqs, said := items(); !slices.Equal(seqs, []int64{warm}) {
		t.Errorf("open are %v %q, want the fridge alone", seqs, said)
	}
}
