package records

import (
	"cmp"
	"math"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// SowLine is how much of a crop to sow by when, for the orders to come.
type SowLine struct {
	Crop     string
	SowBy    string // ISO 8601 date; empty where the recipe has no days to harvest
	Late     bool   // the day to sow has passed
	Due      string
	Packages int
	NetG     float64
	Trays    int
	SeedG    float64
	YieldG   float64        // greens of a tray that this was worked out with
	YieldBy  line.Source    // how it is known; the recipe's is assumed
	Missing  []say.Sentence // what the recipe lacks
}

// enoughTrays is how many packed trays a measured yield needs.
const enoughTrays = 8

// SowList is what to sow for the open orders, by the day to sow.
func (b *Book) SowList(today string) []SowLine {
	type key struct{ crop, due string }
	sums := map[key]int{}
	for _, o := range b.Orders {
		rest, _ := o.Rest()
		if rest == 0 { // of what is on the line already, by weight
			continue
		}
		sums[key{o.Crop, o.Due}] += rest
	}
	var out []SowLine
	for k, n := range sums {
		out = append(out, b.sowLine(k.crop, k.due, n, today))
	}
	slices.SortFunc(out, func(x, y SowLine) int {
		return cmp.Or(cmp.Compare(x.SowBy, y.SowBy), cmp.Compare(x.Due, y.Due), cmp.Compare(x.Crop, y.Crop))
	})
	return out
}

func (b *Book) sowLine(crop, due string, packages int, today string) SowLine {
	l := SowLine{Crop: crop, Due: due, Packages: packages}
	r, ok := b.Recipes.Current(crop)
	if !ok {
		l.Missing = []say.Sentence{say.New("report-sow.recipe")}
		return l
	}
	if l.YieldG, l.YieldBy = b.yield(crop); l.YieldBy == line.Assumed {
		l.YieldG = r.YieldG
	}
	lacks := func(id string) { l.Missing = append(l.Missing, say.New(id)) }
	if r.PackageG <= 0 {
		lacks("report-sow.package-weight")
	}
	if l.YieldG <= 0 {
		lacks("report-sow.yield")
	}
	if r.SeedG <= 0 {
		lacks("report-sow.seed")
	}
	if at, err := time.Parse(time.DateOnly, due); err == nil && r.DaysToHarvest > 0 {
		l.SowBy = at.AddDate(0, 0, -r.DaysToHarvest).Format(time.DateOnly)
		l.Late = today != "" && l.SowBy < today
	} else {
		lacks("report-sow.days")
	}
	l.NetG = r.PackageG * float64(packages)
	if l.YieldG > 0 && l.NetG > 0 {
		l.Trays = int(math.Ceil(l.NetG/l.YieldG - 1e-9))
		l.SeedG = float64(l.Trays) * r.SeedG
	}
	return l
}

// yield is the mean of what a crop's trays gave, from the weights that were not only
// assumed, and how it is known: as well as the least known of them.
func (b *Book) yield(crop string) (g float64, by line.Source) {
	trays := 0
	for i := range b.Batches {
		if bt := &b.Batches[i]; bt.Crop == crop && bt.NetG > 0 && bt.NetBy != line.Assumed && bt.Fate == line.Cold {
			g += bt.NetG
			trays += bt.Trays
			by = by.And(bt.NetBy)
		}
	}
	if trays < enoughTrays {
		return 0, line.Assumed
	}
	return g / float64(trays), by
}
