package records

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"shedbell/line"
	"shedbell/line/say"
)

// Came is what came of a change that somebody took on: how much shorter the days are since
// than they would be, in minutes a working day, 90 percent sure between low and high.
type Came struct {
	Mark      Mark
	Days      int // since, that count
	Minutes   float64
	Low, High float64
	Sure      bool // that it helped or harmed
}

// Days that are held against each other: as many before as show how they differ, and as
// many since as a change needs to be settled.
const (
	mostBefore  = 30
	leastBefore = 5
	mostSince   = 60
	leastSince  = 2
)

// DidItHelp holds the days since each change that was taken on with a prediction against
// those before it. Each day counts by how long it took beside what a rehearsal of its
// sheet takes with the line, the recipes and the paces of the mark and without the change:
// so trays, mix and crew make no difference, and marks of other changes cut nothing off.
// Days with people who had not worked before the mark are left out. The error is that of
// ctx.
func DidItHelp(ctx context.Context, b *Book) ([]Came, error) {
	var out []Came
	for _, m := range b.Marks {
		if m.Expects.Kind == "" {
			continue
		}
		came, err := b.came(ctx, m)
		if err != nil {
			return nil, err
		}
		out = append(out, came)
	}
	return out, nil
}

func (b *Book) came(ctx context.Context, m Mark) (Came, error) {
	before, since := b.around(m)
	came := Came{Mark: m}
	if len(before) == 0 {
		return came, nil
	}
	known := map[string]bool{}
	for _, d := range before {
		for _, name := range d.sheet.Crew {
			known[name] = true
		}
	}
	undo := undoing(m.Expects.Kind, before, known)
	var was, is, lasts []float64
	for i, d := range slices.Concat(before, since) {
		if d.Open || d.Batches == 0 {
			continue
		}
		expected, err := asBefore(ctx, d, before[len(before)-1], undo, known, m.paces)
		switch {
		case err != nil:
			return came, err
		case expected == 0:
		case i < len(before):
			was = append(was, math.Log(d.Length().Minutes()/expected))
		default:
			is, lasts = append(is, math.Log(d.Length().Minutes()/expected)), append(lasts, expected)
		}
	}
	came.judge(was, is, lasts)
	return came, nil
}

// around are the days before a mark and those since.
func (b *Book) around(m Mark) (before, since []*Day) {
	for i := range b.Days {
		switch d := &b.Days[i]; {
		case d.Closed.Before(m.At):
			before = append(before, d)
		case d.Opened.After(m.At):
			since = append(since, d)
		}
	}
	return before[max(0, len(before)-mostBefore):], since[:min(len(since), mostSince)]
}

// asBefore is how long a day would take as the line was on another one, in minutes; 0: it
// says nothing.
func asBefore(ctx context.Context, d, on *Day, undo func(*line.Sheet), known map[string]bool, paces line.Paces) (float64, error) {
	as := *d
	as.site, as.recipes = on.site, on.recipes
	as.sheet.Crew = slices.Clone(d.sheet.Crew)
	if d.Opened.After(on.Opened) {
		undo(&as.sheet)
	}
	if slices.ContainsFunc(as.sheet.Crew, func(name string) bool { return !known[name] }) {
		return 0, nil
	}
	res, err := rehearseDay(ctx, &as, nil, paces)
	if err != nil {
		return 0, ctx.Err() // a sheet that does not fit the line of then says nothing
	}
	return res.Finish.Sub(d.Opened).Minutes(), nil
}

// undoing takes a change back from a sheet that has it: the pair of hands, by somebody new
// if there is one, and the order of the crops. A place and a circuit are in the line.
func undoing(kind string, before []*Day, known map[string]bool) func(*line.Sheet) {
	switch kind {
	case oneMoreHands:
		return func(s *line.Sheet) {
			i := slices.IndexFunc(s.Crew, func(name string) bool { return !known[name] })
			if i < 0 {
				i = len(s.Crew) - 1
			}
			if len(s.Crew) > 1 {
				s.Crew = slices.Delete(s.Crew, i, i+1)
			}
		}
	case longestFirst, shortestFirst:
		place, days := map[string]float64{}, map[string]float64{}
		for _, d := range before {
			for i := range d.sheet.Crops {
				crop := d.sheet.Crops[i].Crop
				place[crop] += float64(i)
				days[crop]++
			}
		}
		return func(s *line.Sheet) {
			s.Crops = slices.Clone(s.Crops)
			at := func(d line.Demand) float64 { return place[d.Crop] / max(days[d.Crop], 1) }
			slices.SortStableFunc(s.Crops, func(x, y line.Demand) int { return cmp.Compare(at(x), at(y)) })
		}
	}
	return func(*line.Sheet) {}
}

// judge holds logarithms of days since against those before; expected is how long the days
// since would have been, in minutes.
func (c *Came) judge(was, is, expected []float64) {
	if c.Days = len(is); len(was) < leastBefore || len(is) < leastSince {
		return
	}
	c.Sure = Settled(was, is)
	shift, se, nu := twoSample(was, is)
	half := se * distuv.StudentsT{Sigma: 1, Nu: nu}.Quantile(0.95)
	whole := stat.Mean(expected, nil) * math.Exp(stat.Mean(was, nil))
	saved := func(shift float64) float64 { return whole * (1 - math.Exp(shift)) }
	c.Minutes, c.Low, c.High = saved(shift), saved(shift+half), saved(shift-half)
}

// twoSample is the shift of the second sample's mean, its standard error by the pooled
// variance, and its degrees of freedom.
func twoSample(a, b []float64) (shift, se, nu float64) {
	ma, va := stat.MeanVariance(a, nil)
	mb, vb := stat.MeanVariance(b, nil)
	na, nb := float64(len(a)), float64(len(b))
	nu = na + nb - 2
	const tiny = 1e-6 // of samples without any spread
	pooled := max(((na-1)*va+(nb-1)*vb)/nu, tiny)
	return mb - ma, math.Sqrt(pooled * (1/na + 1/nb)), nu
}

// sureAt is how many times likelier a change has to be than none. As the odds of a test
// with the right Haar prior are at least that with a probability of one in as many at the
// most, over all looks together (Ville's inequality; Hendriksen, de Heide and Gruenwald,
// Optional stopping with Bayes factors, Bayesian Analysis 2021), nothing that changed
// nothing is called sure in more than one of 20.
const sureAt = 20

// Settled says whether the second sample has shown, at any look after another value of it,
// that its mean is another than that of the first.
func Settled(a, b []float64) bool {
	for n := leastSince; n <= len(b); n++ {
		if Odds(a, b[:n]) >= sureAt {
			return true
		}
	}
	return false
}

// Odds is how many times likelier two normal samples are if their means differ by about a
// standard deviation either way than if they do not: the two-sample t test of Goenen,
// Johnson, Lu and Westfall (The American Statistician 59, 2005), with an effect of mean 0
// and variance 1.
func Odds(a, b []float64) float64 {
	shift, se, nu := twoSample(a, b)
	na, nb := float64(len(a)), float64(len(b))
	t2, spread := shift*shift/(se*se), 1+na*nb/(na+nb)
	return math.Pow((1+t2/nu)/(1+t2/(nu*spread)), (nu+1)/2) / math.Sqrt(spread)
}

// What names the change.
func (c *Came) What() say.Sentence {
	return newChange(c.Mark.Expects.Kind, c.Mark.Expects.Name, nil).What
}
