package recipes

import (
	"math"
	"time"
)

// Verdict is what a tasting says about the time that was run.
type Verdict int8

// Verdicts, driest first, so that a larger one never argues for a shorter time.
const (
	TooDry Verdict = iota - 1
	Right
	TooWet
)

// verdictChance is the chance of each verdict (too dry, right, too wet) when the
// greens truly are too dry, right, too wet. One in five is wrong; a slip to the
// neighbour is likelier than one to the opposite. Every 2x2 minor of the table
// is positive, which is what makes the belief monotone: exchanging a verdict for
// a wetter one can only move it towards longer times.
var verdictChance = [3][3]float64{
	{0.80, 0.15, 0.05},
	{0.20, 0.60, 0.20},
	{0.05, 0.15, 0.80},
}

const (
	beliefCells = 256 // of the belief, evenly spaced in the logarithm of the time
	// rightBand is how far from the right time greens still pass as right, and
	// rightBlur how softly that ends; both in logarithms.
	rightBand = 0.08
	rightBlur = 0.04

	tableHalf = 0.6 // beyond this distance the likelihood is flat
	tableStep = 0.001
	tableSize = int(2*tableHalf/tableStep) + 1
)

// logLikelihood[v+1][i] is for a right time that is longer than the time run by
// the factor exp(i*tableStep - tableHalf).
var logLikelihood = verdictTable()

func verdictTable() (table [3][]float64) {
	for v := range table {
		table[v] = make([]float64, tableSize)
	}
	for i := range tableSize {
		d := float64(i)*tableStep - tableHalf
		wet := 1 / (1 + math.Exp(-(d-rightBand)/rightBlur))
		dry := 1 / (1 + math.Exp((d+rightBand)/rightBlur))
		for v := range table {
			table[v][i] = math.Log(dry*verdictChance[0][v] + (1-dry-wet)*verdictChance[1][v] + wet*verdictChance[2][v])
		}
	}
	return table
}

// TimeSearch finds the right length of a step from verdicts alone: too wet, right,
// too dry. It is a probabilistic bisection: each verdict moves belief about the
// right time, and a verdict that was wrong is outvoted by later ones.
//
// The time to try next is the middle of the belief, and so is the answer. Times
// are compared by ratio, so a range from 10 to 40 minutes is two doublings. The zero TimeSearch
// is not of use; make one with NewTimeSearch.
type TimeSearch struct {
	low, high float64 // logarithms of seconds
	belief    [beliefCells]float64
	summed    [beliefCells + 1]float64
	fresh     bool
	count     int
}

// NewTimeSearch starts a search that never leaves the bounds. Both must be positive; an
// empty range is widened to a single point.
func NewTimeSearch(low, high time.Duration) *TimeSearch {
	l := math.Log(max(low, time.Second).Seconds())
	h := math.Log(max(high, time.Second).Seconds())
	return &TimeSearch{low: l, high: math.Max(h, l+1e-9)}
}

// Add takes a verdict on a batch that ran for the given time. The weight is 1
// for one tasting by itself, less for one that is old or one of several of the
// same batch.
func (s *TimeSearch) Add(ran time.Duration, v Verdict, weight float64) {
	row := logLikelihood[min(max(v, TooDry), TooWet)+1]
	width := (s.high - s.low) / beliefCells
	at := s.low + width/2 - math.Log(max(ran, time.Second).Seconds())
	for i := range s.belief {
		j := int((at+float64(i)*width+tableHalf)/tableStep + 0.5)
		s.belief[i] += weight * row[min(max(j, 0), tableSize-1)]
	}
	s.fresh = false
	s.count++
}

// Lean takes in an estimate from elsewhere, such as a fit to weights, with the
// standard deviation of its logarithm. It is no verdict and is not counted.
func (s *TimeSearch) Lean(at time.Duration, spread float64) {
	width := (s.high - s.low) / beliefCells
	from := s.low + width/2 - math.Log(max(at, time.Second).Seconds())
	for i := range s.belief {
		z := (from + float64(i)*width) / spread
		s.belief[i] -= z * z / 2
	}
	s.fresh = false
}

// Count is how many verdicts were taken.
func (s *TimeSearch) Count() int { return s.count }

func (s *TimeSearch) sum() {
	if s.fresh {
		return
	}
	most := math.Inf(-1)
	for _, b := range s.belief {
		most = math.Max(most, b)
	}
	for i, b := range s.belief {
		s.summed[i+1] = s.summed[i] + math.Exp(b-most)
	}
	s.fresh = true
}

// Quantile is the time that the right one is below with the given probability.
func (s *TimeSearch) Quantile(q float64) time.Duration {
	s.sum()
	want := q * s.summed[beliefCells]
	i := 0
	for i < beliefCells-1 && s.summed[i+1] < want {
		i++
	}
	part := (want - s.summed[i]) / (s.summed[i+1] - s.summed[i])
	log := s.low + (s.high-s.low)*(float64(i)+part)/beliefCells
	return time.Duration(math.Exp(log) * float64(time.Second))
}

// Median is the time to try next and the best guess of the right one.
func (s *TimeSearch) Median() time.Duration { return s.Quantile(0.5) }

// Interval holds the right time with at least 90 percent probability. It is
// never narrower than the band in which a taster says right, because no number
// of tastings tells times apart that taste the same.
func (s *TimeSearch) Interval() (low, high time.Duration) {
	widen := func(q, by float64) time.Duration {
		log := math.Log(s.Quantile(q).Seconds()) + by
		return time.Duration(math.Exp(math.Min(math.Max(log, s.low), s.high)) * float64(time.Second))
	}
	return widen(0.05, -rightBand), widen(0.95, rightBand)
}
