package pace

import (
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"shedbell/line"
)

// Promise is a forecast of the day's end, and what came of it.
type Promise struct {
	Date     string
	At       time.Time
	First    bool      // the day's first, in the morning
	Quantile []float64 // minutes from At: by when the day is over in 5, 10, ... 95 % of the rehearsals
	P50, P90 time.Time // as they were shown
	End      time.Time // zero: not over yet, or nobody knows
}

func (p *Promise) took() float64 { return p.End.Sub(p.At).Minutes() }

func (p *Promise) whole() bool { return len(p.Quantile) == line.PromiseParts && !p.End.IsZero() }

// Promise takes a forecast as it was shown.
func (l *Learner) Promise(p Promise) {
	n := len(l.promises)
	p.First = n == 0 || l.promises[n-1].Date != p.Date
	l.promises = append(l.promises, p)
	l.learned = nil
}

// DayEnded says when the work of a day was over.
func (l *Learner) DayEnded(date string, at time.Time) {
	for i := len(l.promises) - 1; i >= 0 && l.promises[i].Date == date; i-- {
		if at.After(l.promises[i].At) {
			l.promises[i].End = at
		}
	}
	l.learned = nil
}

// Promises are all forecasts, the oldest first.
func (l *Learned) Promises() []Promise {
	if l == nil {
		return nil
	}
	return l.promises
}

// Width is the one that the next forecast is to have.
func (l *Learned) Width() Width {
	if l == nil {
		return Width{Late: 0, Far: 1}
	}
	return l.width
}

// Width corrects forecasts by how the ones before them turned out: the normalized
// conformal interval (Lei, G'Sell, Rinaldo, Tibshirani and Wasserman, 2018), one-sided.
// Each promise scores (end - p50) / (p90 - p50) of its rehearsals, and the corrected
// times lie at the median and the 90th percentile of the scores. Both are drawn towards
// 0 and 1, which is no correction, by Pretended scores of a forecast that is right.
type Width struct {
	Late float64 // of the widths from p50 to p90: where the 50 % time is
	Far  float64 // where the 90 % time is
	N    int     // mornings that it rests on
}

// Pretended is how many scores of a right forecast are mixed into those that were seen.
// The 50 % time moves more slowly: a forecast that jumps with the last few days is worse
// than one that is a little late.
const (
	Pretended     = 10
	PretendedLate = 15
)

// unlearned is how many of the first mornings do not count: little was learned by then,
// and what they were off by says nothing of later ones.
const unlearned = 5

// kept is how many mornings count.
const kept = 60

func widthOf(all []Promise) Width {
	var s sample
	from := 0
	for mornings := 0; from < len(all) && mornings < unlearned; from++ {
		if all[from].First {
			mornings++
		}
	}
	for i := len(all) - 1; i >= from && len(s.values) < kept; i-- {
		if p := &all[i]; p.First && p.whole() {
			if score, ok := p.score(); ok {
				s.add(score, 1)
			}
		}
	}
	return Width{N: len(s.values), Late: corrected(s.values, 0.5, PretendedLate), Far: corrected(s.values, 0.9, Pretended)}
}

// corrected is where a time lies by the scores that were seen and those of a right forecast.
func corrected(scores []float64, p float64, pretended int) float64 {
	all := slices.Clone(scores)
	for i := range pretended {
		all = append(all, distuv.UnitNormal.Quantile((float64(i)+0.5)/float64(pretended))/distuv.UnitNormal.Quantile(0.9))
	}
	slices.Sort(all)
	if at := conformal(all, p); math.Abs(at) > 1e-9 {
		return at
	}
	return 0
}

// conformal is the order statistic that the next of exchangeable scores does not exceed
// with a probability.
func conformal(sorted []float64, p float64) float64 {
	n := float64(len(sorted))
	at := p*(n+1) - 1
	if at <= 0 {
		return sorted[0]
	}
	i := int(at)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}

func (p *Promise) score() (float64, bool) {
	p50, p90 := p.Quantile[9], p.Quantile[17]
	if p90-p50 < 0.1 {
		return 0, false
	}
	return (p.took() - p50) / (p90 - p50), true
}

// Apply corrects the times by which a day is over in 50 and in 90 % of the rehearsals.
// No time is before now.
func (w Width) Apply(now, p50, p90 time.Time) (mid, sure time.Time) {
	both := w.Ends(now, []time.Time{p50, p90})
	return both[0], both[1]
}

// Ends corrects the rehearsed ends of a day, in order, in the same way: those after the
// median move away from it or nearer, all move with it.
func (w Width) Ends(now time.Time, ends []time.Time) []time.Time {
	at := func(part int) time.Time { return ends[max(0, (len(ends)*part+99)/100-1)] }
	p50, p90 := at(50), at(90)
	shift := time.Duration(w.Late * float64(p90.Sub(p50)))
	out := make([]time.Time, len(ends))
	for i, end := range ends {
		if after := end.Sub(p50); after > 0 {
			end = p50.Add(time.Duration((w.Far - w.Late) * float64(after)))
		}
		out[i] = end.Add(shift).Round(time.Second)
		if out[i].Before(now) {
			out[i] = now
		}
	}
	return out
}

// Score is how good promises were.
type Score struct {
	Month   string // 2026-12; empty: all
	N       int
	In50    float64 // share of the days that were over by the 50 % time as it was shown
	In90    float64
	CRPS    float64 // minutes, mean of the rehearsals' distribution; 0 is perfect
	Bias    float64 // minutes by which days ended later than the 50 % time, mean
	BiasPct float64 // of the time that was left
}

// Scores scores the day's first promises, or those of each hour, by month, the last
// row all of them.
func Scores(all []Promise, first bool) []Score {
	var out []Score
	var whole []Promise
	for i := range all {
		if p := &all[i]; p.whole() && p.First == first {
			whole = append(whole, *p)
		}
	}
	for from := 0; from < len(whole); {
		month, to := monthOf(&whole[from]), from
		for to < len(whole) && monthOf(&whole[to]) == month {
			to++
		}
		out = append(out, score(month, whole[from:to]))
		from = to
	}
	if len(whole) > 0 {
		out = append(out, score("", whole))
	}
	return out
}

func monthOf(p *Promise) string { return p.Date[:min(7, len(p.Date))] }

func score(month string, all []Promise) Score {
	s := Score{Month: month, N: len(all)}
	n := float64(len(all))
	left := 0.0
	for i := range all {
		p := &all[i]
		if !p.End.After(p.P50) {
			s.In50 += 1 / n
		}
		if !p.End.After(p.P90) {
			s.In90 += 1 / n
		}
		s.CRPS += QuantileCRPS(p.Quantile, p.took()) / n
		s.Bias += p.End.Sub(p.P50).Minutes() / n
		left += p.took() / n
	}
	if left > 0 {
		s.BiasPct = 100 * s.Bias / left
	}
	return s
}

// CRPS is the continuous ranked probability score of a sample as a forecast: the mean
// distance to what came, less half of the mean distance between two of the sample
// (Gneiting and Raftery, 2007, equation 21).
func CRPS(sorted []float64, came float64) float64 {
	n := float64(len(sorted))
	far, apart := 0.0, 0.0
	for i, x := range sorted {
		far += math.Abs(x - came)
		apart += x * (2*float64(i) - n + 1)
	}
	return far/n - apart/(n*n)
}

// QuantileCRPS is the score of equally spaced quantiles: twice their mean pinball loss.
func QuantileCRPS(quantiles []float64, came float64) float64 {
	n, sum := float64(len(quantiles)), 0.0
	for i, q := range quantiles {
		p := float64(i+1) / (n + 1)
		if came >= q {
			sum += p * (came - q)
		} else {
			sum += (1 - p) * (q - came)
		}
	}
	return 2 * sum / n
}
