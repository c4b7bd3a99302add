package records_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
	"shedbell/line/records/report"
	"shedbell/line/say"
)

// weighings packs twelve trays of pea, three batches of four, as told, and reads the
// journal: 1080 g a batch where somebody said so, 1,125 g where Enter took it.
func weighings(t *testing.T, net func(batch int) (g float64, by line.Source)) (*records.Book, *line.State) {
	t.Helper()
	sheet := line.Sheet{Date: "2026-12-03", Start: linetest.Morning, Crew: []string{"Ash"}, Crops: []line.Demand{{Crop: "pea", Trays: 12}}}
	s, now := line.NewState(linetest.Site(), linetest.Book()), linetest.Morning
	first := line.Decision{Events: []line.Event{line.FirstRecord(linetest.Site(), linetest.Book())}}
	all := first.Records(s, now, "Ash")
	s = line.Apply(s, all[0])
	do := func(c line.Command) {
		next, made, no := line.Do(s, c, now, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s, all = next, append(all, made...)
	}
	do(line.OpenDay{Sheet: sheet})
	do(line.TakeOrder{Customer: "corner shop", Crop: "pea", Packages: 20, Due: "2026-12-20"})
	for i := range s.Batches {
		id := s.Batches[i].ID
		for range 5 { // cut, wash, spin, dry, pack
			do(line.Advance{Batch: id, To: line.Anywhere})
			now = now.Add(30 * time.Minute)
		}
		g, by := net(id)
		do(line.Finish{At: s.Batch(id).Step.Place, NetG: g, NetBy: by})
		do(line.Start{Batch: id, To: line.Anywhere})
	}
	do(line.CloseDay{})
	return linetest.ReadSlice(all, records.Filter{}), s
}

// What was only assumed is never called weighed: not as the yield that sowing goes by,
// not on a lot, not on its label and not in the report of the day.
func TestAssumedIsNeverCalledWeighed(t *testing.T) {
	for _, tc := range []struct {
		name   string
		net    func(int) (float64, line.Source)
		yield  float64 // grams a tray: 1080 of 4 trays, or the recipe's 300
		by     line.Source
		labels int // of three, those that say so
	}{
		{"assumed", func(int) (float64, line.Source) { return 0, "" }, 300, line.Assumed, 3},
		{"weighed", func(int) (float64, line.Source) { return 1080, line.Weighed }, 270, line.Weighed, 0},
		{"typed", func(int) (float64, line.Source) { return 1080, "" }, 270, line.Typed, 0},
		{"one typed", func(id int) (float64, line.Source) {
			return 1080, map[bool]line.Source{true: line.Typed, false: line.Weighed}[id == 2]
		}, 270, line.Typed, 0},
		{"one assumed", func(id int) (float64, line.Source) {
			if id == 2 {
				return 0, ""
			}
			return 1080, line.Weighed
		}, 270, line.Weighed, 1},
		{"too few weighed", func(id int) (float64, line.Source) {
			if id > 1 {
				return 0, ""
			}
			return 1080, line.Weighed
		}, 300, line.Assumed, 2},
	} {
		b, s := weighings(t, tc.net)
		if n := s.Needs(linetest.Morning)[0]; n.YieldG != tc.yield || n.YieldBy != tc.by {
			t.Errorf("%s: yield %g g, %s", tc.name, n.YieldG, n.YieldBy)
		}
		said := strings.Count(report.LabelText(b, say.English()), "not weighed")
		if said != tc.labels {
			t.Errorf("%s: %d labels say that nobody weighed them", tc.name, said)
		}
		assumed := 0
		for _, l := range b.Lots() {
			if l.NetBy == line.Assumed {
				assumed++
			}
		}
		if assumed != tc.labels {
			t.Errorf("%s: %d lots are assumed", tc.name, assumed)
		}
		if got := b.Days[0].AssumedG > 0; got != (tc.labels > 0) {
			t.Errorf("%s: %g g of the day are assumed", tc.name, b.Days[0].AssumedG)
		}
	}
}

// A record of an earlier version does not say how its weight is known: what equals the
// recipe was taken with Enter.
func TestOldWeights(t *testing.T) {
	r, _ := linetest.Book().Current("pea") // 300 g a tray, 125 g a package
	for _, tc := range []struct {
		packages      int
		netG          float64
		countBy, byKg line.Source
	}{{7, 875, line.Assumed, line.Assumed}, {6, 750, line.Typed, line.Assumed}, {7, 881, line.Assumed, line.Typed}, {6, 881, line.Typed, line.Typed}} {
		e := line.StepFinished{Packages: tc.packages, NetG: tc.netG, Lot: "2026-12-03-001"}
		if packages, net := e.Known(&r, 3); packages != tc.countBy || net != tc.byKg {
			t.Errorf("%d packages of %g g: %s and %s", tc.packages, tc.netG, packages, net)
		}
	}
}
