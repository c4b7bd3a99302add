package report

import (
	"shedbell/line"
	"shedbell/line/pace"
	"shedbell/line/records"
	"shedbell/line/say"
)

// Paces says how long the work takes as the records show it, beside what the line file
// says, and how good the promised ends of the days were.
func Paces(b *records.Book) *Doc {
	d := doc(b, "pace", say.New("report-title.pace"))
	d.Foot = say.New("report-foot.pace", pace.HalfLife, pace.Window)
	t := &Table{Columns: []Column{text("station", "head.station"), text("crop", "head.crop"), text("person", "head.person"),
		num("minutes_fixed", "head.a-batch", "min"), num("minutes_per_tray", "head.a-tray", "min"), num("low", "head.low", "min"), num("high", "head.high", "min"),
		num("file_minutes_per_tray", "head.line-file", "min"), num("n", "head.seen", ""), num("trend_percent_week", "head.a-week", "%"), num("pinned_minutes_per_tray", "head.pinned", "min")}}
	for _, e := range b.Pace.Rows() {
		t.Rows = append(t.Rows, []Cell{Text(e.Station), Text(e.Crop), Text(e.Person), Number(e.Fixed, 2), Number(e.PerTray, 2), Number(e.Low, 2), Number(e.High, 2),
			Number(e.File, 2), Int(e.N), Number(e.TrendWeek, 1), pinned(b.Pins, &e)})
	}
	others := &Table{Columns: []Column{text("what", "head.what"), text("station", "head.station"), text("setting", "head.setting"), num("median", "head.median", ""),
		num("low", "head.low", ""), num("high", "head.high", ""), num("line_file", "head.line-file", ""), num("n", "head.seen", "")}}
	for _, o := range b.Pace.Others() {
		others.Rows = append(others.Rows, []Cell{Sentence(say.New("pace-other." + o.What)), Text(o.Station), Text(o.Setting),
			Number(o.Median, 2), Number(o.Low, 2), Number(o.High, 2), Number(o.File, 2), Int(o.N)})
	}
	d.Sections = []Section{{Name: "pace", Table: t}, {Name: "other", Title: say.New("report-part.pace-other"), Table: others}}
	for _, first := range []bool{true, false} {
		if all := pace.Scores(b.Pace.Promises(), first); len(all) > 0 {
			d.Sections = append(d.Sections, promises(b.Pace, all, first))
		}
	}
	return d
}

func pinned(pins []line.PinnedPace, e *pace.Estimate) Cell {
	for i := range pins {
		if p := &pins[i]; p.Station == e.Station && p.Crop == e.Crop && p.Person == e.Person {
			return Number(p.Pace.PerTray.Minutes(), 2)
		}
	}
	return Cell{}
}

// promises are the scores of the mornings' forecasts, or of those of the hours after, by
// month.
func promises(l *pace.Learned, all []pace.Score, first bool) Section {
	s := Section{Name: "promises_hourly", Title: say.New("report-part.promises-hourly")}
	if first {
		w := l.Width()
		s = Section{Name: "promises", Title: say.New("report-part.promises"), Text: []say.Sentence{say.New("report-says.width", w.Late, w.Far, w.N)}}
	}
	s.Table = &Table{Columns: []Column{text("month", "head.month"), num("n", "head.seen", ""), num("by_50_percent", "head.by-50", "%"), num("by_90_percent", "head.by-90", "%"),
		num("crps_min", "head.crps", "min"), num("bias_min", "head.later", "min"), num("bias_percent", "head.later", "%")}}
	for _, m := range all {
		month := Text(m.Month)
		if m.Month == "" {
			month = Sentence(say.New("head.all"))
		}
		s.Table.Rows = append(s.Table.Rows, []Cell{month, Int(m.N), Number(100*m.In50, 0), Number(100*m.In90, 0), Number(m.CRPS, 1), Number(m.Bias, 1), Number(m.BiasPct, 1)})
	}
	c := Chart{Title: say.New("report-part.promised-real"), Unit: "min"}
	for _, p := range l.Promises() {
		if p.First == first && !p.End.IsZero() {
			c.Labels = append(c.Labels, p.Date)
			c.Values = append(c.Values, p.End.Sub(p.P50).Minutes())
		}
	}
	if first && len(c.Values) > 1 {
		s.Charts = []Chart{c}
	}
	return s
}
