package line

import (
	"cmp"
	"math"
	"slices"
	"time"

	"shedbell/line/say"
)

// Need is what the open orders for a crop and a day come to: what is there for them
// already, and what has to be cut and sown. Trays are whole ones.
type Need struct {
	Crop     string
	Due      string // ISO 8601 date
	Packages int    // still to be delivered
	NetG     float64

	FridgePackages int // of them, packed and not sold
	LineTrays      int // cut for them today and not packed yet
	GrowingTrays   int // grow and will be ready by then
	CutTrays       int // that need to be cut for them, growing or not
	SowTrays       int // that nobody has sown yet
	SeedG          float64
	SowBy          string // ISO 8601 date; empty where the recipe has no days to harvest
	Late           bool   // the day to sow has passed

	YieldG  float64        // greens of a tray that this was worked out with
	YieldBy Source         // how it is known; the recipe's is assumed
	Missing []say.Sentence // what the recipe lacks
}

// enoughTrays is how many packed trays a measured yield needs.
const enoughTrays = 8

// Needs is what the open orders come to on a day, by the day to sow. What is due first is
// served first: from the fridge, from today's line, from what grows; the rest is to be
// sown. Every screen and report that says how much to cut or sow asks here.
func (s *State) Needs(now time.Time) []Need {
	var out []Need
	for i := range s.Orders {
		o := &s.Orders[i]
		packages, netG := o.Rest()
		if packages == 0 && netG < 1 {
			continue
		}
		at := slices.IndexFunc(out, func(n Need) bool { return n.Crop == o.Crop && n.Due == o.Due })
		if at < 0 {
			at = len(out)
			out = append(out, Need{Crop: o.Crop, Due: o.Due})
		}
		out[at].Packages += packages
		out[at].NetG += netG
	}
	slices.SortFunc(out, func(a, b Need) int { return cmp.Or(cmp.Compare(a.Due, b.Due), cmp.Compare(a.Crop, b.Crop)) })
	stock := map[string]*stock{}
	for i := range out {
		n := &out[i]
		if stock[n.Crop] == nil {
			stock[n.Crop] = s.stockOf(n.Crop, now)
		}
		s.serve(n, stock[n.Crop], now)
	}
	slices.SortStableFunc(out, func(a, b Need) int {
		return cmp.Or(cmp.Compare(a.SowBy, b.SowBy), cmp.Compare(a.Due, b.Due), cmp.Compare(a.Crop, b.Crop))
	})
	return out
}

// stock is what there is of a crop that orders have not taken yet.
type stock struct {
	fridgeG float64
	lineG   float64 // greens that are cut and not packed
	growing Racks
}

func (s *State) stockOf(crop string, now time.Time) *stock {
	out := &stock{fridgeG: s.FridgeG(crop, now)}
	yield, _ := s.YieldOf(crop)
	uncut := 0
	for i := range s.Batches {
		switch b := &s.Batches[i]; {
		case b.Crop != crop || b.Lot != "":
		case b.Fate == OnLine:
			out.lineG += float64(b.Trays) * yield
		case b.Fate == Waiting:
			uncut += b.Trays
			out.lineG += float64(b.Trays) * yield
		}
	}
	r, _ := s.Recipe(crop)
	_, rest := s.Growing.Cut(&r, uncut, now) // those of today's batches are on the line
	for _, g := range rest {
		if g.Crop == crop && !g.tooOld(&r, now) {
			out.growing = append(out.growing, g)
		}
	}
	return out
}

// serve fills a need from the stock, and works out what is to be sown for the rest.
func (s *State) serve(n *Need, have *stock, now time.Time) {
	r, ok := s.Recipe(n.Crop)
	if !ok {
		n.Missing = []say.Sentence{say.New("report-sow.recipe")}
		return
	}
	n.YieldG, n.YieldBy = s.YieldOf(n.Crop)
	lacks := func(id string) { n.Missing = append(n.Missing, say.New(id)) }
	if r.PackageG <= 0 && n.Packages > 0 {
		lacks("report-sow.package-weight")
	}
	if n.YieldG <= 0 {
		lacks("report-sow.yield")
	}
	if r.SeedG <= 0 {
		lacks("report-sow.seed")
	}
	due, err := time.ParseInLocation(time.DateOnly, n.Due, now.Location())
	if err == nil && r.DaysToHarvest > 0 {
		n.SowBy = due.AddDate(0, 0, -r.DaysToHarvest).Format(time.DateOnly)
		n.Late = n.SowBy < now.Format(time.DateOnly)
	} else {
		lacks("report-sow.days")
	}
	n.NetG += r.PackageG * float64(n.Packages)
	left := n.NetG
	take := func(from *float64) float64 {
		g := min(left, *from)
		*from -= g
		left -= g
		return g
	}
	if g := take(&have.fridgeG); r.PackageG > 0 {
		n.FridgePackages = int(math.Round(g / r.PackageG))
	}
	if n.YieldG <= 0 {
		return
	}
	trays := func(g float64) int { return int(math.Ceil(g/n.YieldG - 1e-9)) }
	n.LineTrays = trays(take(&have.lineG))
	n.CutTrays = trays(left)
	n.GrowingTrays = have.grown(n.CutTrays, func(g *Grown) bool {
		ready, knows := g.ReadyOn(&r)
		return !knows || ready.Format(time.DateOnly) <= n.Due
	})
	n.SowTrays = n.CutTrays - n.GrowingTrays
	n.SeedG = float64(n.SowTrays) * r.SeedG
	if n.SowTrays == 0 {
		n.Late = false
	}
}

// grown takes trays that are fit off what grows.
func (h *stock) grown(trays int, fit func(*Grown) bool) (taken int) {
	for i := range h.growing {
		g := &h.growing[i]
		if n := min(trays-taken, g.Trays); n > 0 && fit(g) {
			g.Trays -= n
			taken += n
		}
	}
	return taken
}

// usualKeep is how many days packages are counted on where the recipe does not say how long
// they keep: common practice, no source.
const usualKeep = 7

// FridgeG is the weight of a crop's packages that are packed and not sold, of lots that
// still keep.
func (s *State) FridgeG(crop string, now time.Time) (netG float64) {
	r, _ := s.Recipe(crop)
	counted := map[string]bool{}
	for _, p := range s.Packed() {
		old := now.Sub(p.Ran.Packed) > time.Duration(cmp.Or(r.TargetDays, usualKeep))*24*time.Hour
		if p.Ran.Crop != crop || counted[p.Ran.Lot] || old {
			continue
		}
		counted[p.Ran.Lot] = true
		if left, ok := s.LotLeft(p.Ran.Lot); ok && left > 0 {
			_, packageG := s.lotOf(p.Ran.Lot)
			netG += float64(left) * packageG
		}
	}
	return netG
}

// YieldOf is the mean of what a crop's last trays gave, of the weights that were not only
// assumed, and how it is known: as well as the least known of them. Of too few trays it is
// the recipe's.
func (s *State) YieldOf(crop string) (g float64, by Source) {
	trays, netG := 0, 0.0
	for _, p := range s.Packed() {
		if p.Ran.Crop == crop && p.NetG > 0 && p.NetBy != Assumed {
			trays += p.Trays
			netG += p.NetG
			by = by.And(p.NetBy)
		}
	}
	if trays < enoughTrays {
		r, _ := s.Recipe(crop)
		return r.YieldG, Assumed
	}
	return netG / float64(trays), by
}

// NextDay is when the line runs next after a day: the first weekday to come that has had
// a day, else a week later.
func (s *State) NextDay(now time.Time) time.Time {
	for n := 1; n < 7; n++ {
		next := now.AddDate(0, 0, n)
		if slices.ContainsFunc(s.LastDays, func(d Sheet) bool { return d.weekday() == next.Weekday() }) {
			return next
		}
	}
	return now.AddDate(0, 0, 7)
}

// OrderedSheet is a day for the open orders: the trays to cut for what is due until the day
// on which the line runs next, which may be early that day, and those to sow that cannot
// wait until then. It is nil where nothing is to be cut.
func (s *State) OrderedSheet(now time.Time) *Sheet {
	sheet, next := &Sheet{}, s.NextDay(now).Format(time.DateOnly)
	add := func(list []SowItem, crop string, trays int) []SowItem {
		for i := range list {
			if list[i].Crop == crop {
				list[i].Trays += trays
				return list
			}
		}
		return append(list, SowItem{Crop: crop, Trays: trays})
	}
	var cut []SowItem
	for _, n := range s.Needs(now) {
		if n.CutTrays > 0 && n.Due <= next {
			cut = add(cut, n.Crop, n.CutTrays)
		}
		if n.SowTrays > 0 && n.SowBy != "" && n.SowBy < next {
			sheet.Sow = add(sheet.Sow, n.Crop, n.SowTrays)
		}
	}
	for _, it := range cut {
		sheet.Crops = append(sheet.Crops, Demand{Crop: it.Crop, Trays: it.Trays})
	}
	if len(sheet.Crops) == 0 {
		return nil
	}
	return sheet
}
