package records

import (
	"fmt"
	"slices"
	"time"

	"shedbell/line"
	"shedbell/line/say"
)

// Metric is something worth watching from day to day.
type Metric struct {
	Key        string
	Title      string
	Of         string // crop, where it is one's
	Unit       string
	LessIsGood bool
	ofDay      func(b *Book, day int) (float64, bool)
	learnt     bool // practice makes it shorter
}

func minutesATray(kind line.Kind, share Share) func(*Book, int) (float64, bool) {
	return func(b *Book, day int) (float64, bool) {
		var t time.Duration
		trays := 0
		for i := range b.Days[day].Stations {
			if s := &b.Days[day].Stations[i]; s.Kind == kind {
				t += s.Shares[share]
				trays += s.Trays
			}
		}
		if trays == 0 || t == 0 {
			return 0, false
		}
		return t.Minutes() / float64(trays), true
	}
}

// metrics are what the charts show.
var metrics = []Metric{
	{Key: "hours-a-tray", Title: "Hours of people a tray", Unit: "h", LessIsGood: true, learnt: true,
		ofDay: func(b *Book, day int) (float64, bool) {
			f := &b.Days[day].Flow
			return f.HoursATray, f.HoursATray > 0 && !b.Filter.Narrow() // people are there for all crops
		}},
	{Key: "trays-an-hour", Title: "Trays an hour", Unit: "metric-unit.trays-an-hour",
		ofDay: func(b *Book, day int) (float64, bool) {
			f := &b.Days[day].Flow
			return f.TraysAnHour, f.TraysAnHour > 0 && !b.Filter.Narrow()
		}},
	{Key: "lead", Title: "Time of a batch from cut to cold", Unit: "min", LessIsGood: true,
		ofDay: func(b *Book, day int) (float64, bool) { lead := b.lead(day); return lead.Minutes(), lead > 0 }},
	{Key: "wet-wait", Title: "Wet wait of a batch", Unit: "min", LessIsGood: true,
		ofDay: func(b *Book, day int) (float64, bool) {
			var wet time.Duration
			all := b.BatchesOf(day)
			for i := range all {
				wet += all[i].Wet
			}
			return wet.Minutes() / float64(max(1, len(all))), len(all) > 0
		}},
	{Key: "cut", Title: "Cutting a tray", Unit: "min", LessIsGood: true, learnt: true, ofDay: minutesATray(line.Cut, HandsOn)},
	{Key: "pack", Title: "Packing a tray", Unit: "min", LessIsGood: true, learnt: true, ofDay: minutesATray(line.Pack, HandsOn)},
	{Key: "tray-wash", Title: "Washing a tray", Unit: "min", LessIsGood: true, learnt: true, ofDay: minutesATray(line.TrayWash, HandsOn)},
}

// lead is the mean time of a day's batches on the line.
func (b *Book) lead(day int) time.Duration {
	if !b.Filter.Narrow() {
		return b.Days[day].Flow.Lead
	}
	var sum time.Duration
	n := 0
	for _, bt := range b.BatchesOf(day) {
		if t := bt.Lead(); t > 0 {
			sum, n = sum+t, n+1
		}
	}
	return sum / time.Duration(max(1, n))
}

// Metrics lists what can be charted: what every day has, and the yield of each crop that
// somebody weighed.
func (b *Book) Metrics() []Metric {
	all := slices.Clone(metrics)
	for _, crop := range b.Recipes.Crops() {
		m := yieldOf(crop)
		for day := range b.Days {
			if _, ok := m.ofDay(b, day); ok {
				all = append(all, m)
				break
			}
		}
	}
	return all
}

// Name is what a metric is called in tables and by those who ask for it.
func (m *Metric) Name() string {
	if m.Of == "" {
		return m.Key
	}
	return m.Key + "-" + m.Of
}

// Says is what people call it.
func (m *Metric) Says() say.Sentence {
	if m.Of == "" {
		return say.New("metric." + m.Key)
	}
	return say.New("metric."+m.Key, say.Crop(m.Of))
}

// Series is a metric's values day by day.
type Series struct {
	Metric Metric
	Dates  []string
	At     []time.Time
	Values []float64
}

// Series gives a metric's values; days that have none are left out.
func (b *Book) Series(name string) (Series, error) {
	all := b.Metrics()
	i := slices.IndexFunc(all, func(m Metric) bool { return m.Name() == name })
	if i < 0 {
		return Series{}, fmt.Errorf("there is no chart of %q", name)
	}
	s := Series{Metric: all[i]}
	for day := range b.Days {
		if v, ok := s.Metric.ofDay(b, day); ok {
			s.Dates = append(s.Dates, b.Days[day].Date)
			s.At = append(s.At, b.Days[day].Opened)
			s.Values = append(s.Values, v)
		}
	}
	return s, nil
}

// Confidence is that of every interval here.
const Confidence = 0.95

// ahead is how many days a forecast reaches.
const ahead = 5

// Progress is a metric with all that can be said about it. What cannot be said
// from so few days is nil.
type Progress struct {
	Series
	Chart   *IMR
	Marks   []PlacedMark
	Changes []MarkChange
	Curve   *LearningCurve
	Next    []Forecast
}

// PlacedMark is a mark between two values of a series.
type PlacedMark struct {
	Mark
	Before int // index of the first value that the change could have touched
}

// MarkChange is what a metric did at a mark.
type MarkChange struct {
	Mark   Mark
	Change MeanChange
}

// Progress charts a metric.
func (b *Book) Progress(name string) (Progress, error) {
	s, err := b.Series(name)
	if err != nil {
		return Progress{}, err
	}
	p := Progress{Series: s}
	p.Chart, _ = NewIMR(s.Values)
	for _, m := range b.marksOf(&s.Metric) {
		at := len(s.At)
		for i := range s.At {
			if s.Dates[i] > m.Date || s.Dates[i] == m.Date && !m.At.After(s.At[i]) {
				at = i
				break
			}
		}
		p.Marks = append(p.Marks, PlacedMark{m, at})
	}
	p.changes()
	if s.Metric.learnt {
		if c, err := FitLearning(s.Values); err == nil {
			p.Curve = &c
			p.Next = c.Next(ahead, Confidence)
		}
	}
	return p, nil
}

// changes compares before and after each mark, as far as the marks beside it.
func (p *Progress) changes() {
	for i, m := range p.Marks {
		from, to := 0, len(p.Values)
		for k, o := range p.Marks {
			if k < i && o.Before < m.Before {
				from = o.Before
			}
			if k > i && o.Before > m.Before {
				to = min(to, o.Before)
			}
		}
		if m.Before <= from || m.Before >= to {
			continue
		}
		if c, err := CompareMeans(p.Values[from:m.Before], p.Values[m.Before:to], Confidence); err == nil {
			p.Changes = append(p.Changes, MarkChange{m.Mark, c})
		}
	}
}
