package records

import (
	"math"
	"strconv"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/say"
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
	Cold    say.Sentence // how cold to keep it
	Assumed bool         // nobody weighed the lot, nor typed its weight
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
func (b *Book) coldest() say.Sentence {
	least := math.Inf(1)
	for _, l := range b.Site.AllLimits() {
		if c, ok := line.Convert(l.Value, l.Unit, line.UnitC); ok && l.Kind == line.EntryFridge && l.Bound == line.AtMost {
			least = min(least, c)
		}
	}
	if math.IsInf(least, 0) {
		return say.New("label.cold")
	}
	f, _ := line.Convert(least, line.UnitC, line.UnitF)
	return say.New("label.cold-at", strings.TrimSuffix(trim(least, 1), ".0"), trim(f, 0))
}

// Lines are the label's text, a line each.
func (l *Label) Lines() []say.Sentence {
	out := []say.Sentence{say.Of(say.Crop(l.Crop)), say.New("label.lot", l.Lot), say.New("label.packed", say.Date(l.Packed))}
	if l.Keep > 0 {
		out = append(out, say.New("label.use-by", say.Date(l.Packed.AddDate(0, 0, l.Keep))))
	}
	// Grams, and avoirdupois ounces of 28.349523125 g.
	switch g, oz := trim(l.NetG, 0), trim(l.NetG/28.349523125, 1); {
	case l.NetG > 0 && l.Assumed:
		out = append(out, say.New("label.net-assumed", g, oz))
	case l.NetG > 0:
		out = append(out, say.New("label.net", g, oz))
	}
	out = append(out, l.Cold)
	if l.Caution != "" {
		out = append(out, say.Of(l.Caution))
	}
	return append(out, say.Of(l.From))
}

func trim(v float64, decimals int) string {
	return strconv.FormatFloat(v, 'f', decimals, 64)
}
