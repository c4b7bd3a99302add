package records

import (
	"math"
	"strconv"
	"strings"
	"time"

	"shedbell/line"
)

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
	Assumed bool   // nobody weighed the lot, nor typed its weight
}

// Labels are the labels of the lots that the filter leaves.
func (b *Book) Labels() []Label {
	var out []Label
	for _, l := range b.Lots() {
		r, _ := b.Recipes.Current(l.Crop)
		lab := Label{Lot: l.Code, Crop: l.Crop, Packed: l.Packed, Keep: r.TargetDays, Caution: r.Caution, Count: l.Packages, From: b.Site.Name, Cold: b.coldest()}
		if l.Packages > 0 {
			lab.NetG, lab.Assumed = l.NetG/float64(l.Packages), l.NetBy == line.Assumed
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
	if l.NetG > 0 && l.Assumed {
		out = append(out, "Net weight "+weight(l.NetG)+", not weighed")
	} else if l.NetG > 0 {
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
