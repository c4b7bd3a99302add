package records

import (
	"cmp"
	"slices"
	"strings"

	"shedbell/line"
)

// yieldOf is the metric of a crop's yield: grams of a tray, of the day's batches whose
// weight was not only assumed.
func yieldOf(crop string) Metric {
	return Metric{Key: "yield", Title: "Yield of a tray", Of: crop, Unit: "g", ofDay: func(b *Book, day int) (float64, bool) {
		g, trays := 0.0, 0
		for _, bt := range b.BatchesOf(day) {
			if bt.Crop == crop && bt.NetG > 0 && bt.NetBy != line.Assumed && bt.Trays > 0 {
				g, trays = g+bt.NetG, trays+bt.Trays
			}
		}
		return g / float64(max(1, trays)), trays > 0
	}}
}

// seedMark begins the text of the mark that a new seed lot makes when it is sown.
const seedMark = "seed lot "

// marksOf are the marks on the time axis of a metric. On a yield's, a seed lot stands where
// trays of it are cut first, not where it was sown.
func (b *Book) marksOf(m *Metric) []Mark {
	if m.Of == "" {
		return b.Marks
	}
	out := slices.DeleteFunc(slices.Clone(b.Marks), func(m Mark) bool { return strings.HasPrefix(m.Text, seedMark) })
	lot := ""
	for day := range b.Days {
		for _, bt := range b.BatchesOf(day) {
			if bt.Crop != m.Of || len(bt.Seeds) == 0 {
				continue
			}
			if now := b.Sowings[bt.Seeds[0]].SeedLot; now != "" && now != lot {
				if lot != "" {
					out = append(out, Mark{At: b.Days[day].Opened, Date: b.Days[day].Date, Text: seedMark + now + " of " + m.Of})
				}
				lot = now
			}
		}
	}
	slices.SortStableFunc(out, func(x, y Mark) int { return x.At.Compare(y.At) })
	return out
}

// The days that a falling yield rests on.
const (
	yieldsBefore = 8
	yieldsSince  = 4
)

// fallingYields are the crops whose trays give less than they did: the chart has a signal on
// one of the last days, and the mean since it began is surely lower. What it costs is the
// hands on the trays that it takes more for the same greens.
func (b *Book) fallingYields() []Change {
	var out []Change
	for _, crop := range b.Recipes.Crops() {
		p, err := b.Progress("yield-" + crop)
		if err != nil || p.Chart == nil {
			continue
		}
		n, from := len(p.Values), -1
		for _, s := range p.Chart.Signals {
			if s.At >= n-2 && s.From >= yieldsBefore && n-s.From >= yieldsSince && (from < 0 || s.From < from) {
				from = s.From
			}
		}
		if from < 0 {
			continue
		}
		fell, err := CompareMeans(p.Values[:from], p.Values[from:], 0.9)
		if err != nil || fell.High >= 0 {
			continue
		}
		out = append(out, b.fall(crop, &fell))
	}
	return out
}

// fall is what a fallen yield costs a week.
func (b *Book) fall(crop string, fell *MeanChange) Change {
	aWeek, hours, days := 0.0, 0.0, 0
	last := b.Days[len(b.Days)-1].Opened
	for day := range b.Days {
		if d := &b.Days[day]; d.Opened.After(last.AddDate(0, 0, -28)) && d.Flow.HoursATray > 0 {
			hours, days = hours+d.Flow.HoursATray, days+1
			for _, bt := range b.BatchesOf(day) {
				if bt.Crop == crop && bt.Fate == line.Cold {
					aWeek += float64(bt.Trays) / 4
				}
			}
		}
	}
	c := newChange(fallingYield, crop, nil)
	minutes := func(diff float64) float64 {
		return aWeek * (-diff / (fell.Before + diff)) * hours / float64(max(1, days)) * 60
	}
	c.Minutes, c.Low, c.High = minutes(fell.Diff), minutes(fell.High), minutes(fell.Low)
	c.Days, c.aWeek, c.Fell = fell.NAfter, cmp.Or(b.daysAWeek(), 1), fell
	return c
}
