package pace

import (
	"maps"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"shedbell/line/rehearse"
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

// expect finds the variances, given the differences.
func (f *fit) expect() {
	v, at := &f.variance, &f.at
	second := func(i int) float64 { return f.theta[i]*f.theta[i] + f.cov.At(i, i) }
	of := func(p prior, from, to int) float64 { return p.found(f.theta, f.cov, from, to) }
	v.shed = of(priorLevel, at.shed, at.station)
	for s := range v.station {
		v.station[s] = of(priorLevel, at.station+s, at.station+s+1)
	}
	v.crop = of(priorCrop, at.crop, at.person)
	v.person = of(priorPerson, at.person, at.personAt)
	v.personAt = of(priorPersonAt, at.personAt, at.share)
	v.trend = of(priorTrend, at.trend, at.trendAt)
	v.trendAt = of(priorTrendAt, at.trendAt, at.day)
	sum, n := priorDay.variance*priorDay.weight, priorDay.weight
	for d := at.day; d < at.n; d++ {
		age := math.Exp2(-float64(at.n-1-d) / HalfLife)
		sum, n = sum+age*robust(second(d)/v.day)*second(d), n+age
	}
	v.day = sum / n
	sum, n = priorNoise.variance*priorNoise.weight, priorNoise.weight
	for i := range f.rows {
		o := &f.rows[i]
		square := o.rest*o.rest + f.spreadOf(o)
		o.robust = robust(square / v.noise)
		sum, n = sum+o.age*o.robust*square, n+o.age
	}
	v.noise = sum / n
}

// mix is what the work at a station was of, as far as crop and person are not given: the
// usual shares of trays.
func (f *fit) mix(s int, crop, person string) (out []observation, weights []float64, n int) {
	c, p := index(f.crops, crop), index(f.persons, person)
	anyCrop, anybody := crop == "", person == ""
	crops, persons := map[int]float64{}, map[int]float64{}
	for key, w := range f.seen {
		if key[0] != s {
			continue
		}
		if (anyCrop || key[1] == c) && (anybody || key[2] == p) {
			n += f.count[key]
		}
		crops[key[1]] += w
		persons[key[2]] += w
	}
	if !anyCrop {
		crops = map[int]float64{c: 1}
	}
	if !anybody {
		persons = map[int]float64{p: 1}
	}
	for _, c := range slices.Sorted(maps.Keys(crops)) {
		for _, p := range slices.Sorted(maps.Keys(persons)) {
			o := observation{station: s, crop: max(c, 0), person: p, day: -1, ratio: 1}
			f.design(&o)
			if c < 0 { // never seen: no difference
				o.at[2] = -1
			}
			out, weights = append(out, o), append(weights, crops[c]*persons[p])
		}
	}
	return out, weights, n
}

// estimate is a pace at a station.
func (f *fit) estimate(s int, crop, person string) Estimate {
	rows, weights, n := f.mix(s, crop, person)
	// The mean over the mix, as one row of the model.
	total := 0.0
	for _, w := range weights {
		total += w
	}
	x := make([]float64, f.at.n)
	for i := range rows {
		for j, p := range rows[i].at {
			if p >= 0 && j != 5 {
				x[p] += weights[i] / total * rows[i].x[j]
			}
		}
	}
	today := f.at.n - 1
	if f.todayIn {
		x[today] = 1
	}
	v := mat.NewVecDense(len(x), x)
	level := mat.Dot(v, mat.NewVecDense(len(x), f.theta))
	sd := math.Sqrt(max(0, mat.Inner(v, f.cov, v)))
	e := Estimate{Station: f.stations[s], Crop: crop, Person: person, N: n, File: math.Exp(f.file[s])}
	whole := e.File * math.Exp(level) // a tray of a usual batch
	e.Fixed = whole * f.share[s] * f.trays[s]
	e.PerTray = whole * (1 - f.share[s])
	e.Low, e.High = e.PerTray*math.Exp(-z90*sd), e.PerTray*math.Exp(z90*sd)
	e.TrendWeek = 100 * math.Expm1((f.theta[f.at.trend]+f.theta[f.at.trendAt+s])*f.perWeek)
	return e
}

func (f *fit) cropsAt(s int) []string   { return f.namesAt(s, f.crops, 1) }
func (f *fit) personsAt(s int) []string { return f.namesAt(s, f.persons, 2) }

func (f *fit) namesAt(s int, names []string, part int) (out []string) {
	for i, name := range names {
		for key := range f.count {
			if key[0] == s && key[part] == i && name != "" {
				out = append(out, name)
				break
			}
		}
	}
	return out
}

// pretended is how many days, and pieces of work, as the prior has them are mixed into
// the sample of those that were seen.
const pretended = 8

// spread is how much days and pieces of work vary around the paces, with what is not
// known of these.
func (f *fit) spread(d *rehearse.Delays, today string) {
	if len(f.rows) < enough {
		return
	}
	rest, pause := sample{}, rehearse.Pauses{}
	all, pauses := 0.0, 0.0
	for i := range f.rows {
		// What was over far too soon was keyed in wrongly. What took far too long counts for
		// little in the pace, but the day waited for it: a pause, as long as it was over.
		o := &f.rows[i]
		all += o.age
		switch far := o.rest / math.Sqrt(f.variance.noise); {
		case far > 4:
			pauses += o.age
			pause.Lasts = append(pause.Lasts, minutes(o.minutes*(1-math.Exp(-o.rest))))
		case far > -4:
			rest.add(o.rest, o.age)
		}
	}
	if pause.Share = pauses / all; pause.Share > 0 {
		d.Pause = &pause
	}
	rest.prior(math.Sqrt(f.variance.noise))
	d.WorkSigma = math.Sqrt(f.variance.noise)
	d.Work = rest.spread()

	level := 0.0
	for s := range f.stations {
		e := f.estimate(s, "", "")
		level += math.Pow(math.Log(e.High/e.Low)/(2*z90), 2) / float64(len(f.stations))
	}
	days := sample{}
	if f.todayIn { // what is known of the day is part of the paces, and of their level
		days.prior(math.Sqrt(level))
	} else {
		level := math.Sqrt(level)
		for i := range f.days {
			p := f.at.day + i
			age := math.Exp2(-float64(len(f.days)-1-i) / HalfLife)
			unsure := math.Sqrt(f.cov.At(p, p))
			for _, up := range []float64{-1, 1} { // the same mean and variance as what is not known
				days.add(f.theta[p]+up*math.Hypot(unsure, level), age/2)
			}
		}
		days.prior(math.Hypot(math.Sqrt(f.variance.day), level))
	}
	d.Day = days.spread()
}

// sample is values with weights.
type sample struct{ values, weights []float64 }

func (s *sample) add(v, weight float64) {
	s.values, s.weights = append(s.values, v), append(s.weights, weight)
}

// prior adds a normal distribution.
func (s *sample) prior(sd float64) {
	const n = 20
	for i := range n {
		s.add(sd*distuv.UnitNormal.Quantile((float64(i)+0.5)/n), pretended/float64(n))
	}
}

// spread is the sample's quantiles, as a rehearsal draws from them.
func (s *sample) spread() *rehearse.Spread {
	stat.SortWeighted(s.values, s.weights)
	out := make(rehearse.Spread, 99)
	for i := range out {
		out[i] = stat.Quantile(float64(i+1)/100, stat.LinInterp, s.values, s.weights)
	}
	return &out
}

// quantile is the linear one of sorted values (type 7 of Hyndman and Fan, 1996).
func quantile(sorted []float64, p float64) float64 {
	h := p * float64(len(sorted)-1)
	i := int(h)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (h-float64(i))*(sorted[i+1]-sorted[i])
}
