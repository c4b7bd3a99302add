// Package pace learns from what is recorded how long the work takes, and keeps the
// score of the forecasts that are made with it. It is pure: no I/O and no clock.
//
// A Learner takes the pieces of work by hand one by one (records.Reader feeds it) and
// keeps those of the last days; Learned works out the paces. What it gives:
//
//   - Paces goes into line.Advice and plan.Options: prompts, plan, countdowns and
//     rehearsals then expect what the records show. A rehearsal that shall be as
//     uncertain as the day takes Delays besides.
//   - Estimate is one pace with its interval, Rows are all of them, Others what else
//     was learned (reaction, walking, water changes, drying), for tables and screens.
//   - Expected is the minutes of one piece of work with the paces as they were learned
//     until then: freeze a Learned to compare later days with what it expected of their
//     trays, crops and people.
//   - Score and Width tell how good the promised ends were, and correct the next.
//
// The model: ln(minutes) of a piece of work is that of the line file, plus the
// differences of the shed, the station, the crop at the station, the person, and the
// person at the station, plus a trend from day to day, plus the day's own difference
// (slow days slow everything), plus noise. A share of a usual batch's time may not depend
// on its trays. Each difference is shrunk towards none by as much as its kind has been
// found to vary (empirical Bayes: the variances are found by expectation maximization),
// so that with little evidence a pace is that of the station, and that is the line
// file's. Noise and days are Student's t, so that a lunch break or a forgotten key counts
// for little. A day counts half as much as one HalfLife working days later.
package pace

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
)

// HalfLife is after how many working days a day counts half.
const HalfLife = 15

// Window is how many working days are kept: what is older counts for an eighth or less.
const Window = 3 * HalfLife

// Work is one piece of work by hand as it ran: from a true start to a true end, neither
// held nor set down.
type Work struct {
	Date    string // of its day
	Station string
	Kind    line.Kind
	Crop    string // empty: of no crop
	Person  string // empty: nobody is named
	Trays   int
	Took    time.Duration // without what a reported trouble added
	File    time.Duration // what the line file says of it
}

// plausible says whether such work can have taken that long; what cannot was recorded
// wrongly. The bounds are wide: common practice, no source.
func (w *Work) plausible() bool {
	ratio := float64(w.Took) / float64(w.File)
	return w.Trays > 0 && w.File > 0 && ratio > 1.0/20 && ratio < 20
}

// Learner keeps what was seen of the last days. Its zero value is ready.
type Learner struct {
	days     []day // in order
	promises []Promise
	named    map[string]bool // whom work was ever recorded for
	variance variances       // as they were found last, to begin with
	learned  *Learned        // of all that was added; nil: not worked out yet
}

// day is what was seen on one day.
type day struct {
	date   string
	work   []Work
	late   []float64 // seconds from a countdown's end to the answer, without the work of it
	others []seen
}

// seen is one observation of something else than a pace.
type seen struct {
	other
	took, file float64 // minutes; or of drying, the countdown in the end and at first
}

// other names what is learned besides paces.
type other struct {
	what, station, setting string
}

// What is learned besides paces.
const (
	Walk     = "walk"     // from a station to where its batch goes next
	Water    = "water"    // a water change
	Drying   = "dry"      // drying at a setting of the fans, as a share of what the recipe says
	SlowFans = "dry-slow" // the same where a slow fan is reported
	React    = "react"    // until a countdown's end is answered
)

func (l *Learner) day(date string) *day {
	l.learned = nil
	at := len(l.days) // of an earlier day comes what was kept by hand
	for at > 0 && l.days[at-1].date > date {
		at--
	}
	if at > 0 && l.days[at-1].date == date {
		return &l.days[at-1]
	}
	l.days = slices.Insert(l.days, at, day{date: date})
	if n := len(l.days); n > 2*Window && at >= n-Window {
		l.days, at = slices.Clone(l.days[n-Window:]), at-(n-Window)
	}
	return &l.days[at]
}

// Add takes a piece of work; one that is not plausible is left out, and told so.
func (l *Learner) Add(w Work) bool {
	if !w.plausible() {
		return false
	}
	d := l.day(w.Date)
	d.work = append(d.work, w)
	return true
}

// Named says for how many people work was recorded so far, with this one among them.
func (l *Learner) Named(person string) int {
	if !l.named[person] {
		l.named = maps.Clone(l.named) // a clone may have it too
		if l.named == nil {
			l.named = map[string]bool{}
		}
		l.named[person] = true
	}
	return len(l.named)
}

// Late takes how long after the end of a countdown it was answered, without the work of
// it.
func (l *Learner) Late(date string, by time.Duration) {
	d := l.day(date)
	d.late = append(d.late, max(1, by.Seconds()))
}

// Other takes what was seen of something else: how long it took and should have taken.
func (l *Learner) Other(date, what, station, setting string, took, file time.Duration) {
	if took > 0 {
		d := l.day(date)
		d.others = append(d.others, seen{other{what, station, setting}, took.Minutes(), file.Minutes()})
	}
}

// Forget drops what was seen so far of somebody's pace at a station.
func (l *Learner) Forget(f line.PaceForgotten) {
	for i := range l.days {
		l.days[i].work = slices.DeleteFunc(slices.Clone(l.days[i].work), func(w Work) bool {
			return w.Station == f.Station && (f.Crop == "" || w.Crop == f.Crop) && (f.Person == "" || w.Person == f.Person)
		})
	}
	l.learned = nil
}

// Clone is a learner that goes on by itself from here.
func (l *Learner) Clone() *Learner {
	c := *l
	c.days, c.promises = slices.Clone(l.days), slices.Clone(l.promises)
	if n := len(c.days); n > 0 { // the last day may go on
		last := &c.days[n-1]
		last.work, last.late, last.others = slices.Clone(last.work), slices.Clone(last.late), slices.Clone(last.others)
	}
	return &c
}

// Learned works out what was learned so far, once until something is added. Today is
// the date of the day that goes on, whose own difference is then part of the paces, or
// empty.
func (l *Learner) Learned(today string) *Learned {
	if l.learned == nil || l.learned.today != today {
		l.learned = l.work(today)
	}
	return l.learned
}

// Learned is what was learned by an instant. It is not changed once it is handed out. A
// nil one knows nothing.
type Learned struct {
	today    string
	fit      *fit
	delays   rehearse.Delays
	others   []Other
	promises []Promise
	width    Width
}

func (l *Learner) work(today string) *Learned {
	days := l.days[max(0, len(l.days)-Window):]
	out := &Learned{today: today, delays: rehearse.Typical, promises: l.promises, width: widthOf(l.promises)}
	var late []float64
	sorted := map[other][]seen{}
	for i := range days {
		late = append(late, days[i].late...)
		for _, s := range days[i].others {
			sorted[s.other] = append(sorted[s.other], s)
		}
	}
	out.fit = fitDays(days, today, &l.variance)
	if len(late) >= enough {
		mid, spread := logs(late)
		out.delays.React = time.Duration(math.Exp(mid) * float64(time.Second)).Round(100 * time.Millisecond)
		out.delays.ReactSigma = spread
		var react []seen
		for _, s := range late {
			react = append(react, seen{other{what: React}, s / 60, rehearse.Typical.React.Minutes()})
		}
		sorted[other{what: React}] = react
	}
	out.fit.spread(&out.delays, today)
	for o, all := range sorted {
		out.others = append(out.others, otherOf(o, all))
	}
	slices.SortFunc(out.others, func(a, b Other) int {
		return cmp.Or(cmp.Compare(a.What, b.What), cmp.Compare(a.Station, b.Station), cmp.Compare(a.Setting, b.Setting))
	})
	return out
}

// Delays is how people differ from a clock, as it was learned; what was not seen often
// enough is rehearse.Typical.
func (l *Learned) Delays() rehearse.Delays {
	if l == nil {
		return rehearse.Typical
	}
	return l.delays
}

// Paces are the learned paces, for line.Advice; nil where none are.
func (l *Learned) Paces() line.Paces {
	if l == nil || l.fit == nil || len(l.fit.stations) == 0 {
		return nil
	}
	known := map[[3]string]line.Pace{}
	for s, name := range l.fit.stations {
		for _, crop := range append(l.fit.cropsAt(s), "") {
			for _, person := range append(slices.Clone(l.fit.persons), "") {
				known[[3]string{name, crop, person}] = l.fit.estimate(s, crop, person).pace()
			}
		}
	}
	return func(st *line.Station, crop, person string) (line.Pace, bool) {
		name := st.PaceName()
		for _, key := range [][3]string{{name, crop, person}, {name, crop, ""}, {name, "", person}, {name, "", ""}} {
			if p, ok := known[key]; ok {
				return p, true
			}
		}
		return line.Pace{}, false
	}
}

// Estimate is a pace with what is known of it.
type Estimate struct {
	Station, Crop, Person string  // empty: the usual mix of crops, whoever is at it
	Fixed, PerTray        float64 // minutes
	Low, High             float64 // minutes a tray: 90 % sure
	File                  float64 // minutes a tray that the line file says
	N                     int     // pieces of work that it rests on, of the last days
	TrendWeek             float64 // percent by which it changes in a week
}

func (e Estimate) pace() line.Pace {
	return line.Pace{Fixed: minutes(e.Fixed), PerTray: minutes(e.PerTray)}
}

func minutes(m float64) time.Duration {
	return time.Duration(m * float64(time.Minute)).Round(time.Second)
}

// Estimate is the pace of a crop's work at a station by a person; ok is false where
// nothing was seen of the station.
func (l *Learned) Estimate(station, crop, person string) (e Estimate, ok bool) {
	if l == nil || l.fit == nil {
		return e, false
	}
	s := slices.Index(l.fit.stations, station)
	if s < 0 {
		return e, false
	}
	return l.fit.estimate(s, crop, person), true
}

// Expected is the minutes that a piece of work takes, and the standard deviation of
// the logarithm of one such time: noise, the day and what is not known of the pace.
func (l *Learned) Expected(w *Work) (minutes, sigma float64, ok bool) {
	e, ok := l.Estimate(w.Station, w.Crop, w.Person)
	if !ok {
		return 0, 0, false
	}
	level := math.Log(e.High/e.Low) / (2 * z90)
	return e.Fixed + e.PerTray*float64(w.Trays), math.Sqrt(level*level + l.fit.variance.noise + l.fit.variance.day), true
}

// Rows are the paces of every station, and of each crop and each person seen there.
func (l *Learned) Rows() []Estimate {
	if l == nil || l.fit == nil {
		return nil
	}
	var out []Estimate
	for s := range l.fit.stations {
		out = append(out, l.fit.estimate(s, "", ""))
		for _, crop := range l.fit.cropsAt(s) {
			out = append(out, l.fit.estimate(s, crop, ""))
		}
		for _, person := range l.fit.personsAt(s) {
			out = append(out, l.fit.estimate(s, "", person))
		}
	}
	return out
}

// Other is something else that was learned, in minutes; of drying, in shares of the
// recipe's time.
type Other struct {
	What, Station, Setting string
	Median, Low, High      float64 // Low to High holds the middle nine of ten
	File                   float64 // what the line file says; 0: nothing
	N                      int
}

// Others lists what was learned besides paces.
func (l *Learned) Others() []Other {
	if l == nil {
		return nil
	}
	return l.others
}

func otherOf(o other, all []seen) Other {
	took, file := make([]float64, len(all)), make([]float64, len(all))
	for i, s := range all {
		took[i], file[i] = s.took, s.file
		if o.what == Drying || o.what == SlowFans {
			took[i], file[i] = s.took/max(s.file, 1e-9), 1
		}
	}
	out := Other{What: o.what, Station: o.station, Setting: o.setting, N: len(all), File: median(file)}
	out.Median = median(took) // sorts them
	out.Low, out.High = quantile(took, 0.05), quantile(took, 0.95)
	return out
}

// enough is how many times something must have been seen before it is believed.
const enough = 20

// logs is the median of the logarithms and their spread, as the standard deviation
// that a normal distribution with the same median absolute deviation has.
func logs(values []float64) (mid, spread float64) {
	const normal = 1.4826 // 1/Phi^-1(3/4)
	x := make([]float64, len(values))
	for i, v := range values {
		x[i] = math.Log(v)
	}
	mid = median(x)
	for i := range x {
		x[i] = math.Abs(x[i] - mid)
	}
	return mid, normal * median(x)
}

func median(x []float64) float64 {
	slices.Sort(x)
	n := len(x)
	return (x[(n-1)/2] + x[n/2]) / 2
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
