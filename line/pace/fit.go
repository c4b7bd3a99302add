package pace

import (
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/mat"
)

const (
	tails = 4     // degrees of freedom of noise and days
	z90   = 1.645 // 95th percentile of the normal distribution

	firstRounds = 25 // of the search for the variances, where nothing is known of them
	laterRounds = 3
)

// variances are how much differences of each kind vary, in squares of logarithms.
type variances struct {
	known                                       bool
	shed                                        float64
	crop, person, personAt, trend, trendAt, day float64
	station                                     []float64
	noise                                       float64
}

// prior is what a variance is taken for before anything is seen, with the weight of so
// many differences: common practice, no source. Shed and stations each have a variance
// of their own with a small one to begin with: a line file that is right is soon
// believed, and one that is wrong by a factor of three is left as soon.
type prior struct{ variance, weight float64 }

var (
	priorLevel    = prior{0.04 * 0.04, 1}
	priorCrop     = prior{0.10 * 0.10, 3}
	priorPerson   = prior{0.10 * 0.10, 3}
	priorPersonAt = prior{0.05 * 0.05, 3}
	priorTrend    = prior{0.003 * 0.003, 1}
	priorTrendAt  = prior{0.002 * 0.002, 4}
	priorDay      = prior{0.07 * 0.07, 4}
	priorNoise    = prior{0.15 * 0.15, 5}
)

// priorShare is the standard deviation of the share of a usual batch's time that does
// not depend on its trays.
const priorShare = 0.15

// fit is a model fitted to some days.
type fit struct {
	stations, crops, persons []string
	days                     []string
	file                     []float64          // ln of the file's minutes a tray, by station, as of late
	trays                    []float64          // of a usual batch, by station
	seen                     map[[3]int]float64 // weight by station, crop and person
	count                    map[[3]int]int
	perWeek                  float64 // working days

	at       places
	rows     []observation
	theta    []float64
	cov      *mat.SymDense
	share    []float64 // by station
	variance variances
	todayIn  bool // the last day goes on: its own difference counts
}

// places are where in the parameters the differences of each kind begin.
type places struct {
	shed, station, crop, person, personAt, share, trend, trendAt, day, n int
}

type observation struct {
	minutes                    float64
	y                          float64 // ln of minutes over the file's
	ratio                      float64 // usual trays over its trays
	age                        float64 // weight for its age
	station, crop, person, day int
	at                         [9]int
	x                          [9]float64
	robust                     float64
	rest                       float64 // what the model leaves
}

func fitDays(days []day, today string, begin *variances) *fit {
	f := &fit{seen: map[[3]int]float64{}, count: map[[3]int]int{}}
	f.names(days)
	if len(f.stations) == 0 {
		return f
	}
	f.observe(days)
	rounds := firstRounds
	if f.variance = *begin; f.variance.known && len(f.variance.station) == len(f.stations) {
		rounds = laterRounds
	} else {
		f.variance = variances{shed: 0.25, crop: priorCrop.variance, person: priorPerson.variance, personAt: priorPersonAt.variance,
			trend: priorTrend.variance, trendAt: priorTrendAt.variance, day: priorDay.variance, noise: priorNoise.variance}
		for range f.stations {
			f.variance.station = append(f.variance.station, 0.25)
		}
	}
	f.share = make([]float64, len(f.stations))
	for range rounds {
		f.solve()
		f.expect()
	}
	f.solve()
	f.todayIn = today != "" && f.days[len(f.days)-1] == today
	f.variance.known = true
	*begin = f.variance
	begin.station = slices.Clone(f.variance.station)
	return f
}

// names lists what is told apart.
func (f *fit) names(days []day) {
	stations, crops, persons := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for i := range days {
		if len(days[i].work) > 0 {
			f.days = append(f.days, days[i].date)
		}
		for _, w := range days[i].work {
			stations[w.Station], crops[w.Crop] = true, true
			if w.Person != "" {
				persons[w.Person] = true
			}
		}
	}
	f.stations, f.crops, f.persons = sortedKeys(stations), sortedKeys(crops), sortedKeys(persons)
	f.perWeek = 5
	if n := len(f.days); n > 1 {
		first, err1 := time.Parse(time.DateOnly, f.days[0])
		last, err2 := time.Parse(time.DateOnly, f.days[n-1])
		if span := last.Sub(first).Hours() / 24 / 7; err1 == nil && err2 == nil && span > 0 {
			f.perWeek = min(7, float64(n-1)/span)
		}
	}
	s, c, p := len(f.stations), len(f.crops), len(f.persons)
	at := &f.at
	at.station = 1
	at.crop = at.station + s
	at.person = at.crop + s*c
	at.personAt = at.person + p
	at.share = at.personAt + s*p
	at.trend = at.share + s
	at.trendAt = at.trend + 1
	at.day = at.trendAt + s
	at.n = at.day + len(f.days)
}

// observe turns the work into rows of the model.
func (f *fit) observe(days []day) {
	n := len(f.stations)
	f.file, f.trays = make([]float64, n), make([]float64, n)
	weight := make([]float64, n)
	d := -1
	for i := range days {
		if len(days[i].work) > 0 {
			d++
		}
		for k := range days[i].work {
			w := &days[i].work[k]
			o := observation{station: index(f.stations, w.Station), crop: index(f.crops, w.Crop), person: index(f.persons, w.Person), day: d, robust: 1}
			o.age = math.Exp2(-float64(len(f.days)-1-d) / HalfLife)
			o.minutes = w.Took.Minutes()
			o.y = math.Log(o.minutes / float64(w.Trays))
			f.file[o.station] = math.Log(w.File.Minutes() / float64(w.Trays))
			f.trays[o.station] += o.age * math.Log(float64(w.Trays))
			weight[o.station] += o.age
			o.ratio = float64(w.Trays)
			key := [3]int{o.station, o.crop, o.person}
			f.seen[key] += o.age * float64(w.Trays)
			f.count[key]++
			f.rows = append(f.rows, o)
		}
	}
	for s := range f.trays {
		f.trays[s] = math.Exp(f.trays[s] / weight[s])
	}
	for i := range f.rows {
		o := &f.rows[i]
		o.ratio = f.trays[o.station] / o.ratio
		o.y -= f.file[o.station]
		f.design(o)
	}
}

func index(list []string, name string) int {
	i, ok := slices.BinarySearch(list, name)
	if !ok {
		return -1
	}
	return i
}

// design gives a row its parameters. Who is not named has no difference.
func (f *fit) design(o *observation) {
	at := &f.at
	day := float64(o.day - (len(f.days) - 1))
	o.at = [9]int{at.shed, at.station + o.station, at.crop + o.station*len(f.crops) + o.crop, -1, -1,
		at.share + o.station, at.trend, at.trendAt + o.station, at.day + o.day}
	o.x = [9]float64{1, 1, 1, 1, 1, 0, day, day, 1}
	if o.person >= 0 {
		o.at[3], o.at[4] = at.person+o.person, at.personAt+o.station*len(f.persons)+o.person
	}
	if o.day < 0 { // no day of the records: the last one's level
		o.at[8], o.x[6], o.x[7] = -1, 0, 0
	}
}

// share of the time that does not depend on the trays: what it adds for a batch, and
// how that changes with the share.
func shared(share, ratio float64) (ln, slope float64) {
	part := 1 - share + share*ratio
	return math.Log(part), (ratio - 1) / part
}

const mostShare = 0.8

// precision is the prior's for each parameter.
func (f *fit) precision() []float64 {
	v, at := &f.variance, &f.at
	out := make([]float64, at.n)
	fill := func(from, to int, variance float64) {
		for i := from; i < to; i++ {
			out[i] = 1 / variance
		}
	}
	fill(at.shed, at.station, v.shed)
	for s := range f.stations {
		out[at.station+s] = 1 / v.station[s]
	}
	fill(at.crop, at.person, v.crop)
	fill(at.person, at.personAt, v.person)
	fill(at.personAt, at.share, v.personAt)
	fill(at.share, at.trend, priorShare*priorShare)
	fill(at.trend, at.trendAt, v.trend)
	fill(at.trendAt, at.day, v.trendAt)
	for d := at.day; d < at.n; d++ {
		out[d] = 1 / v.day
		if f.theta != nil {
			out[d] *= robust((f.theta[d]*f.theta[d] + f.cov.At(d, d)) / v.day)
		}
	}
	return out
}

// robust is the weight of a value whose square is so many variances, as Student's t has
// it.
func robust(square float64) float64 { return (tails + 1) / (tails + square) }

// ridge is a regression in which each parameter has a prior of its own around 0.
type ridge struct {
	n    int
	a, b []float64
}

// newRidge begins with the precisions of the priors.
func newRidge(precision []float64) *ridge {
	n := len(precision)
	r := &ridge{n: n, a: make([]float64, n*n), b: make([]float64, n)}
	for i, p := range precision {
		r.a[i*n+i] = p
	}
	return r
}

// add adds an observation with a weight: the parameters that it is of, those below 0 left
// out, and how much of each.
func (r *ridge) add(at []int, x []float64, y, weight float64) {
	for j, p := range at {
		if p < 0 {
			continue
		}
		r.b[p] += weight * x[j] * y
		row, w := r.a[p*r.n:(p+1)*r.n], weight*x[j]
		for k, q := range at {
			if q >= p {
				row[q] += w * x[k]
			}
		}
	}
}

// solve gives the parameters and their covariances; ok is false where nothing is known of
// one of them.
func (r *ridge) solve() (theta []float64, cov *mat.SymDense, ok bool) {
	var chol mat.Cholesky
	if !chol.Factorize(mat.NewSymDense(r.n, r.a)) {
		return nil, nil, false
	}
	v := mat.NewVecDense(r.n, nil)
	_ = chol.SolveVecTo(v, mat.NewVecDense(r.n, r.b)) // its error is a warning of a condition
	cov = mat.NewSymDense(r.n, nil)
	_ = chol.InverseTo(cov)
	return v.RawVector().Data, cov, true
}

// solve finds the differences, given the variances.
func (f *fit) solve() {
	r := newRidge(f.precision())
	for i := range f.rows {
		o := &f.rows[i]
		share := f.share[o.station]
		ln, slope := shared(share, o.ratio)
		o.x[5] = slope
		r.add(o.at[:], o.x[:], o.y-ln+slope*share, o.age*o.robust/f.variance.noise)
	}
	theta, cov, ok := r.solve()
	if !ok {
		return // cannot be: the priors alone are enough
	}
	f.theta, f.cov = theta, cov
	for s := range f.share {
		f.share[s] = min(max(f.theta[f.at.share+s], 0), mostShare)
	}
	for i := range f.rows {
		o := &f.rows[i]
		ln, _ := shared(f.share[o.station], o.ratio)
		o.rest = o.y - ln - f.sum(o)
	}
}

// sum is what the model expects of a row, apart from its share.
func (f *fit) sum(o *observation) (sum float64) {
	for j, p := range o.at {
		if p >= 0 && j != 5 {
			sum += o.x[j] * f.theta[p]
		}
	}
	return sum
}

// spreadOf is the variance of what the model expects of a row.
func (f *fit) spreadOf(o *observation) (v float64) {
	raw := f.cov.RawSymmetric() // rows of the upper triangle; parameters rise
	for j, p := range o.at {
		if p < 0 {
			continue
		}
		row, sum := raw.Data[p*raw.Stride:], o.x[j]*raw.Data[p*raw.Stride+p]
		for k := j + 1; k < len(o.at); k++ {
			if q := o.at[k]; q >= 0 {
				sum += 2 * o.x[k] * row[q]
			}
		}
		v += o.x[j] * sum
	}
	return v
}

// found is the variance of the parameters from one to another, expected from what is
// known of them and of the prior.
func (p prior) found(theta []float64, cov *mat.SymDense, from, to int) float64 {
	sum, n := p.variance*p.weight, p.weight
	for i := from; i < to; i++ {
		sum, n = sum+theta[i]*theta[i]+cov.At(i, i), n+1
	}
	return sum / n
}
