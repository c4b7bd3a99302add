package records

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"shedbell/line"
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
	YieldG   float64 // greens of a tray that this was reckoned with
	Measured bool    // the yield was weighed, not the recipe's
	Missing  string  // what the recipe lacks
}

// enoughTrays is how many packed trays a measured yield needs.
const enoughTrays = 8

// SowList is what to sow for the open orders, by the day to sow.
func (b *Book) SowList(today string) []SowLine {
	type key struct{ crop, due string }
	sums := map[key]int{}
	for _, o := range b.Orders {
		sums[key{o.Crop, o.Due}] += o.Packages
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
		l.Missing = "a recipe"
		return l
	}
	if l.YieldG, l.Measured = b.yield(crop); !l.Measured {
		l.YieldG = r.YieldG
	}
	var missing []string
	if r.PackageG <= 0 {
		missing = append(missing, "package weight")
	}
	if l.YieldG <= 0 {
		missing = append(missing, "yield")
	}
	if r.SeedG <= 0 {
		missing = append(missing, "seed grams")
	}
	if at, err := time.Parse(time.DateOnly, due); err == nil && r.DaysToHarvest > 0 {
		l.SowBy = at.AddDate(0, 0, -r.DaysToHarvest).Format(time.DateOnly)
		l.Late = today != "" && l.SowBy < today
	} else {
		missing = append(missing, "days to harvest")
	}
	l.Missing = strings.Join(missing, ", ")
	l.NetG = r.PackageG * float64(packages)
	if l.YieldG > 0 && l.NetG > 0 {
		l.Trays = int(math.Ceil(l.NetG/l.YieldG - 1e-9))
		l.SeedG = float64(l.Trays) * r.SeedG
	}
	return l
}

// yield is the mean of what a crop's trays gave, from what was packed.
func (b *Book) yield(crop string) (g float64, ok bool) {
	trays := 0
	for i := range b.Batches {
		if bt := &b.Batches[i]; bt.Crop == crop && bt.NetG > 0 && bt.Fate == line.Cold {
			g += bt.NetG
			trays += bt.Trays
		}
	}
	if trays < enoughTrays {
		return 0, false
	}
	return g / float64(trays), true
}

// Label is the text of one package's label.
type Label struct {
	Lot     string
	Crop    string
	Packed  time.Time
	NetG    float64
	Keep    int // days, 0 where the recipe does not say
	Caution string
	Count   int // how many of them
	From    string
	Cold    string // how cold to keep it
}

// Labels are the labels of the lots that the filter leaves.
func (b *Book) Labels() []Label {
	var out []Label
	for _, l := range b.Lots() {
		r, _ := b.Recipes.Current(l.Crop)
		lab := Label{Lot: l.Code, Crop: l.Crop, Packed: l.Packed, Keep: r.TargetDays, Caution: r.Caution, Count: l.Packages, From: b.Site.Name, Cold: b.coldest()}
		if l.Packages > 0 {
			lab.NetG = l.NetG / float64(l.Packages)
		}
		out = append(out, lab)
	}
	return out
}

// coldest is the lowest of the fridge's limits in words; the line file can change it.
func (b *Book) coldest() string {
	least := math.Inf(1)
	for _, l := range b.Site.AllLimits() {
		if c, ok := line.Convert(l.Value, l.Unit, line.UnitC); ok && l.Kind == line.EntryFridge && l.Bound == line.AtMost {
			least = min(least, c)
		}
	}
	if math.IsInf(least, 0) {
		return ""
	}
	f, _ := line.Convert(least, line.UnitC, line.UnitF)
	return ": " + strings.TrimSuffix(trim(least, 1), ".0") + " C (" + trim(f, 0) + " F) or below"
}

// Lines are the label's text, a line each.
func (l *Label) Lines() []string {
	out := []string{strings.ToUpper(l.Crop), "Lot " + l.Lot, "Packed " + l.Packed.Format("2 Jan 2006")}
	if l.NetG > 0 {
		out = append(out, "Net weight "+weight(l.NetG))
	}
	out = append(out, "KEEP COLD"+l.Cold)
	if l.Caution != "" {
		out = append(out, l.Caution)
	}
	return append(out, l.From)
}

// weight is a net weight in grams and avoirdupois ounces of 28.349523125 g.
func weight(g float64) string {
	return trim(g, 0) + " g (" + trim(g/28.349523125, 1) + " oz)"
}

func trim(v float64, decimals int) string {
	return strconv.FormatFloat(v, 'f', decimals, 64)
}
