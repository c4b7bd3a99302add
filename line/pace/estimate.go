package pace

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"shedbell/line/rehearse"
)

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
