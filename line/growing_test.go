package line_test

import (
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
)

// Whatever is sown, counted, cut, split, dropped, scrapped and packed: trays sown or found
// are those that grow, those that were cut and those that were lost; packages packed are
// those sold, thrown away and in the fridge. Time goes in steps short enough that no tray
// gets too old to be there.
func TestTraysAndPackagesAddUp(t *testing.T) {
	ran := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		s, now := line.NewState(linetest.Site(), linetest.Book()), linetest.Morning
		entered, cutBefore, lost := 0, 0, 0
		sold, thrown := map[string]int{}, map[string]int{}
		growing := func() (n int) {
			for _, g := range s.Growing {
				n += g.Trays
			}
			return n
		}
		cut := func() (n int) {
			for i := range s.Batches {
				for _, g := range s.Batches[i].Grown {
					n += g.Trays
				}
			}
			return n
		}
		do := func(c line.Command) bool {
			before := growing()
			next, made, no := line.Do(s, c, now, "Ash")
			if no != nil {
				return false
			}
			was := s
			s = next
			for _, r := range made {
				switch e := r.Event.(type) {
				case line.ChoreFinished:
					for i := range was.Chores {
						if was.Chores[i].ID == e.ID && was.Chores[i].Kind == line.SowTrays {
							entered += was.Chores[i].Trays
						}
					}
				case line.GrowingCounted:
					entered += max(0, growing()-before)
					lost += max(0, before-growing())
				case line.TraysLost, line.BatchScrapped: // of what was cut, none comes off the racks
					lost += before - growing()
				case line.DayClosed:
					for i := range was.Batches {
						for _, g := range was.Batches[i].Grown {
							cutBefore += g.Trays
						}
					}
				case line.Sold:
					sold[e.Lot] += e.Packages
				case line.PackagesThrown:
					thrown[e.Lot] += e.Packages
				}
			}
			ran[fmt.Sprintf("%T", c)]++
			return true
		}
		check := func(after string) {
			if growing()+cut()+cutBefore+lost != entered {
				t.Fatalf("after %s: %d grow, %d were cut, %d lost, of %d", after, growing(), cut()+cutBefore, lost, entered)
			}
			for _, p := range s.Packed() {
				packed := 0
				for _, o := range s.Packed() {
					if o.Ran.Lot == p.Ran.Lot {
						packed += o.Packages
					}
				}
				if left, ok := s.LotLeft(p.Ran.Lot); !ok || left+sold[p.Ran.Lot]+thrown[p.Ran.Lot] != packed || left < 0 {
					t.Fatalf("lot %s: %d packed, %d sold, %d thrown away, %d left", p.Ran.Lot, packed, sold[p.Ran.Lot], thrown[p.Ran.Lot], left)
				}
			}
		}
		for range rapid.IntRange(1, 120).Draw(t, "steps") {
			batch := 0
			if n := len(s.Batches); n > 0 {
				batch = s.Batches[rapid.IntRange(0, n-1).Draw(t, "batch")].ID
			}
			n := rapid.IntRange(0, 5).Draw(t, "n")
			what := rapid.SampledFrom([]string{"work", "work", "work", "work", "work", "work", "work", "count", "found", "trays", "drop", "scrap", "split", "sell", "throw", "days", "open"}).Draw(t, "what")
			switch what {
			case "work":
				for _, p := range line.Prompts(s, now, nil) {
					if p.Ready(now) && do(p.Command) {
						break
					}
				}
				now = now.Add(4 * time.Minute)
			case "open":
				do(line.OpenDay{Sheet: line.Sheet{Date: now.Format(time.DateOnly), Start: now, Crew: []string{"Ash"}, Crops: []line.Demand{{Crop: "pea", Trays: 1 + n}, {Crop: "radish", Trays: 1 + n}}}})
			case "days":
				if now.Sub(linetest.Morning) < 12*24*time.Hour {
					now = now.AddDate(0, 0, min(n, 3))
				}
			case "count":
				if k := len(s.Growing); k > 0 {
					do(line.CountGrowing{Sowing: s.Growing[n%k].Sowing, Trays: n, Why: "mould"})
				}
			case "found":
				do(line.CountGrowing{Crop: "pea", Sown: now.AddDate(0, 0, -4), Trays: n})
			case "trays":
				do(line.CountTrays{Batch: batch, Trays: n})
			case "drop":
				do(line.DropTrays{Batch: batch, Trays: n, Reason: "dropped"})
			case "scrap":
				do(line.Scrap{Batch: batch, Reason: "mould"})
			case "split":
				do(line.Split{Batch: batch, Trays: n})
			case "sell", "throw":
				if all := s.Packed(); len(all) > 0 {
					lot := all[n%len(all)].Ran.Lot
					if what == "sell" {
						do(line.Sell{Lot: lot, Customer: "the inn", Packages: n})
					} else {
						do(line.ThrowAway{Lot: lot, Packages: n, Why: "limp"})
					}
				}
			}
			check(what)
		}
	})
	t.Logf("%v", ran)
}

// A worked example. A tray of pea gives 300 g, takes 30 g of seed and ten days; a package
// holds 125 g. Due on the 11th are 8 packages, 1,000 g: the fridge has 4 of them, 500 g are
// left, 1.7 trays: two to be cut. Three trays are ready that day, so none is to be sown. Due
// on the 17th are 20 packages, 2,500 g, 8.3 trays: nine to be cut. One of the three is left,
// two more are ready on the 13th: six are to be sown, ten days before.
func TestNeedsOfAWorkedExample(t *testing.T) {
	s, now := line.NewState(linetest.Site(), linetest.Book()), time.Date(2026, 12, 3, 7, 0, 0, 0, time.UTC)
	do := func(c line.Command) {
		t.Helper()
		next, _, no := line.Do(s, c, now, "Ash")
		if no != nil {
			t.Fatal(no)
		}
		s = next
	}
	s.Past = []line.PackedBatch{{ID: 1, Packages: 4}}
	s.Past[0].Ran.Crop, s.Past[0].Ran.Lot, s.Past[0].Ran.Packed = "pea", "2026-12-02-1", now.AddDate(0, 0, -1)
	do(line.CountGrowing{Crop: "pea", Sown: now.AddDate(0, 0, -2), Trays: 3})
	do(line.TakeOrder{Customer: "the inn", Crop: "pea", Packages: 20, Due: "2026-12-17"})
	do(line.TakeOrder{Customer: "the inn", Crop: "pea", Packages: 8, Due: "2026-12-11"}) // due first, served first
	do(line.CountGrowing{Crop: "pea", Sown: now, Trays: 2})                              // ready on the 13th
	got := s.Needs(now)
	want := []line.Need{
		{Crop: "pea", Due: "2026-12-11", Packages: 8, NetG: 1000, FridgePackages: 4, CutTrays: 2, GrowingTrays: 2, SowBy: "2026-12-01", YieldG: 300, YieldBy: line.Assumed},
		{Crop: "pea", Due: "2026-12-17", Packages: 20, NetG: 2500, CutTrays: 9, GrowingTrays: 3, SowTrays: 6, SeedG: 180, SowBy: "2026-12-07", YieldG: 300, YieldBy: line.Assumed},
	}
	if len(got) != 2 || !equalNeed(got[0], want[0]) || !equalNeed(got[1], want[1]) {
		t.Errorf("%+v\nwant %+v", got, want)
	}
	// A week later what was in the fridge counts no more: 3.3 trays for the 11th, so four, one
	// of them to be sown; nine for the 17th, which is the next day of the line, seven to be sown.
	sheet := s.OrderedSheet(time.Date(2026, 12, 10, 7, 0, 0, 0, time.UTC))
	if sheet == nil || len(sheet.Crops) != 1 || sheet.Crops[0].Trays != 4+9 || len(sheet.Sow) != 1 || sheet.Sow[0].Trays != 1+7 {
		t.Errorf("the day for the orders: %+v", sheet)
	}
}

func equalNeed(a, b line.Need) bool {
	a.Missing, b.Missing = nil, nil
	return a.Crop == b.Crop && a.Due == b.Due && a.Packages == b.Packages && a.NetG == b.NetG && a.FridgePackages == b.FridgePackages && a.LineTrays == b.LineTrays &&
		a.GrowingTrays == b.GrowingTrays && a.CutTrays == b.CutTrays && a.SowTrays == b.SowTrays && a.SeedG == b.SeedG && a.SowBy == b.SowBy && a.Late == b.Late &&
		a.YieldG == b.YieldG && a.YieldBy == b.YieldBy
}
