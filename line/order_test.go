package line_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/line/records"
)

// Whatever is ordered, sold, put right and cancelled: what was ordered is what was filled,
// what is open and what was cancelled, on the line as in the records; and no more of a lot
// is sold than was packed.
func TestOrdersAddUp(t *testing.T) {
	ran := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		site := linetest.Site()
		s := line.NewState(site, linetest.Book())
		now := linetest.Morning
		reader := records.NewReader(records.Filter{})
		do := func(c line.Command) (seq int64, ok bool) {
			now = now.Add(time.Second)
			next, made, no := line.Do(s, c, now, "Ash")
			if no != nil {
				return 0, false
			}
			for _, r := range made {
				reader.Add(r)
			}
			s = next
			return made[0].Seq, true
		}
		lots := packed(t, do, &s, &now)
		type order struct {
			packages, filled, cancelled int
		}
		type sale struct {
			order    int64
			packages int
			lot      string
		}
		orders, sales := map[int64]*order{}, map[int64]*sale{}
		var orderIDs, saleIDs []int64
		for range rapid.IntRange(1, 40).Draw(t, "commands") {
			pick := func(ids []int64) int64 {
				if len(ids) == 0 {
					return 0
				}
				return ids[rapid.IntRange(0, len(ids)-1).Draw(t, "which")]
			}
			n := rapid.IntRange(0, 9).Draw(t, "packages")
			switch kind := rapid.SampledFrom([]string{"order", "sell", "sell", "correct", "cancel"}).Draw(t, "what"); kind {
			case "order":
				if id, ok := do(line.TakeOrder{Customer: "the inn", Crop: "pea", Packages: n, Due: now.AddDate(0, 0, 3).Format(time.DateOnly)}); ok {
					orders[id] = &order{packages: n}
					orderIDs = append(orderIDs, id)
					ran[kind]++
				}
			case "sell":
				x := &sale{order: pick(orderIDs), packages: n, lot: rapid.SampledFrom(lots).Draw(t, "lot")}
				if id, ok := do(line.Sell{Lot: x.lot, Customer: "the inn", Packages: n, Order: x.order}); ok {
					sales[id] = x
					saleIDs = append(saleIDs, id)
					if o := orders[x.order]; o != nil {
						o.filled += n
					}
					ran[kind]++
				}
			case "correct":
				was := pick(saleIDs)
				if x := sales[was]; x != nil {
					if id, ok := do(line.Sell{Lot: x.lot, Customer: "the inn", Packages: n, Corrects: was}); ok {
						if o := orders[x.order]; o != nil {
							o.filled += n - x.packages
						}
						delete(sales, was)
						sales[id] = &sale{x.order, n, x.lot}
						saleIDs = append(saleIDs, id)
						ran[kind]++
					}
				}
			case "cancel":
				id := pick(orderIDs)
				if _, ok := do(line.CancelOrder{ID: id}); ok {
					orders[id].cancelled = orders[id].packages - orders[id].filled
					ran[kind]++
				}
			}
			open := map[int64]int{}
			for _, list := range [][]line.SaleOrder{s.Orders, reader.Book().Orders} {
				clear(open)
				for i := range list {
					open[list[i].ID], _ = list[i].Rest()
				}
				for id, o := range orders {
					want := max(0, o.packages-o.filled)
					if o.cancelled > 0 {
						want = 0
					}
					if open[id] != want {
						t.Fatalf("order %d: %+v, and %d are open, want %d", id, *o, open[id], want)
					}
				}
			}
			for _, lot := range lots {
				if left, ok := s.LotLeft(lot); !ok || left < 0 {
					t.Fatalf("%d packages of %s are left", left, lot)
				}
			}
		}
	})
	t.Logf("%v", ran)
}

// packed packs two batches of pea and gives their lots.
func packed(t *rapid.T, do func(line.Command) (int64, bool), s **line.State, now *time.Time) (lots []string) {
	if _, ok := do(line.OpenDay{Sheet: line.Sheet{Date: "2026-12-03", Crew: []string{"Ash"}, Crops: []line.Demand{{Crop: "pea", Trays: 4}}}}); !ok {
		t.Fatal("no day")
	}
	for range 200 {
		for _, p := range line.Prompts(*s, *now, nil) {
			if p.Ready(*now) && p.Act != line.ActClose {
				do(p.Command)
				break
			}
		}
		*now = now.Add(time.Minute)
		lots = lots[:0]
		for i := range (*s).Batches {
			if b := &(*s).Batches[i]; b.Fate == line.Cold && b.Lot != "" {
				lots = append(lots, b.Lot)
			}
		}
		if len(lots) == len((*s).Batches) {
			return lots
		}
	}
	t.Fatalf("nothing was packed: %+v", (*s).Batches)
	return nil
}
