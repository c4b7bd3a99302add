package report

import (
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/records"
	"shedbell/line/say"
)

// Charts shows whether the work is getting better.
func Charts(b *records.Book) *Doc {
	d := doc(b, "charts", say.New("report-title.charts"))
	d.Foot = say.New("report-foot.charts", say.New("report-foot.times"))
	for _, m := range b.Metrics() {
		p, err := b.Progress(m.Name())
		if err != nil || len(p.Values) == 0 {
			continue
		}
		d.Sections = append(d.Sections, progressSection(&p))
	}
	return d
}

func progressSection(p *records.Progress) Section {
	m := &p.Metric
	s := Section{Name: m.Name(), Title: m.Says(), Text: Words(p)}
	c := Chart{Title: m.Says(), Unit: m.Unit, Labels: p.Dates, Values: p.Values}
	if p.Chart != nil {
		c.Limits, c.Mean, c.Upper, c.Lower = true, p.Chart.Mean, p.Chart.Upper, p.Chart.Lower
		for _, sig := range p.Chart.Signals {
			c.Flags = append(c.Flags, sig.At)
		}
	}
	for _, mk := range p.Marks {
		c.Marks = append(c.Marks, ChartMark{Before: mk.Before, Text: mk.Date + ": " + mk.Text})
	}
	s.Charts = []Chart{c}
	s.Table = &Table{Columns: []Column{text("metric", "head.metric"), text("day", "head.day"), num("value", "head.value", m.Unit), num("mean", "head.mean", ""), num("lower", "head.lower", ""), num("upper", "head.upper", ""), text("signal", "head.signal")}}
	said := map[int][]string{}
	if p.Chart != nil {
		for _, sig := range p.Chart.Signals {
			said[sig.At] = append(said[sig.At], sig.Text.String())
		}
	}
	for i, v := range p.Values {
		row := []Cell{Text(m.Name()), Text(p.Dates[i]), Number(v, 3), {}, {}, {}, Text(strings.Join(said[i], "; "))}
		if p.Chart != nil {
			row[3], row[4], row[5] = Number(p.Chart.Mean, 3), Number(p.Chart.Lower, 3), Number(p.Chart.Upper, 3)
		}
		s.Table.Rows = append(s.Table.Rows, row)
	}
	return s
}

// mostSaid is how many of a chart's signals are put into words; the newest count.
const mostSaid = 5

// Words says what a chart shows.
func Words(p *records.Progress) []say.Sentence {
	unit := say.Sentence{ID: p.Metric.Unit}
	var out []say.Sentence
	if p.Chart == nil {
		return []say.Sentence{say.New("report-says.two-days-needed-chart")}
	}
	out = append(out, say.New("report-says.mean-usual-range", p.Chart.Mean, unit, p.Chart.Lower, p.Chart.Upper))
	signals := p.Chart.Signals
	if len(signals) == 0 {
		out = append(out, say.New("report-says.no-signal-days-differ"))
	}
	for _, s := range signals[max(0, len(signals)-mostSaid):] {
		out = append(out, say.New("report-says.join", p.Dates[s.At], s.Text))
	}
	for _, c := range p.Changes {
		out = append(out, say.New("report-says.since", c.Mark.Text, c.Mark.Date, c.Change.Says(unit)))
	}
	if p.Curve != nil && len(p.Next) > 0 {
		next := p.Next[0]
		out = append(out, say.New("report-says.learning-curve-each-doubling",
			p.Curve.Rate()*100, next.Time, unit, records.Confidence*100, next.Shortest, next.Most))
	}
	return out
}

// Day is the summary of one day on a page. False when the book does not hold it.
func Day(b *records.Book, date string) (*Doc, bool) {
	day := b.DayOf(date)
	if day == nil {
		return nil, false
	}
	d := doc(b, "day", say.New("report-title.day", date))
	d.Foot = say.New("report-foot.times")
	f := &day.Flow
	opened, closed, hours := say.Time(day.Opened), say.Time(day.Closed), day.Length().Hours()
	span := say.New("report-says.opened-closed-hours-line", opened, closed, hours, day.Crew)
	if day.Open {
		span = say.New("report-says.opened-still-open-hours", opened, closed, hours, day.Crew)
	}
	facts := []say.Sentence{span,
		say.New("report-says.trays-batches-kg-net", day.Trays, day.Asked, say.New("count.batches", day.Batches), day.NetG/1000, f.TraysAnHour, f.HoursATray),
	}
	if day.AssumedG > 0 {
		facts = append(facts, say.New("report-says.kg-assumed", day.AssumedG/1000))
	}
	if n := &f.Bottleneck; n.Name != "" {
		facts = append(facts, Busiest(n))
	}
	if len(day.Held) > 0 && day.Held[0].For >= time.Minute {
		facts = append(facts, say.New("report-says.waited-most", day.Held[0].Says(), day.Held[0].For.Minutes()))
	}
	facts = append(facts, AlarmWords(day))
	if b.Filter.Narrow() {
		facts = append(facts, say.New("report-says.day-s-figures-stations"))
	}
	if day.HandOver != "" {
		facts = append(facts, say.New("report-says.hand-over", day.HandOver))
	}
	bars := Chart{Title: say.New("report-part.spent"), Unit: "min", Bars: true, Short: true}
	for _, s := range workShares {
		bars.Labels = append(bars.Labels, s.String())
		bars.Said = append(bars.Said, s.Says())
		bars.Values = append(bars.Values, day.Shares[s].Minutes())
	}
	busy := Chart{Title: say.New("report-part.busy"), Unit: "%", Bars: true, Short: true}
	for _, c := range f.Cycles {
		busy.Labels = append(busy.Labels, c.Name)
		busy.Said = append(busy.Said, cycle(c.Name))
		busy.Values = append(busy.Values, c.Load*100)
	}
	d.Sections = []Section{{Name: "summary", Text: facts, Charts: []Chart{bars, busy}}, cropSection(b, date), personSection(day)}
	if s, ok := daySafety(b, date); ok {
		d.Sections = append(d.Sections, s)
	}
	if notes := dayNotes(b, date); len(notes) > 0 {
		d.Sections = append(d.Sections, Section{Name: "notes", Title: say.New("report-part.notes"), Text: notes})
	}
	return d, true
}

// Busiest says what held the day up and what one more of it saves: as it was rehearsed,
// else the bound that the next busiest sets.
func Busiest(n *records.Bottleneck) say.Sentence {
	more := say.New("report-says.more-could-save-most", n.SaveAtMost.Minutes())
	switch r := n.OneMore; {
	case r != nil && r.Saves() < time.Minute:
		more = say.New("report-says.rehearsed-day-ends-no", r.More)
	case r != nil:
		more = say.New("report-says.rehearsed-day-ends-min", r.More, r.Saves().Minutes(), r.With.Hours(), r.As.Hours())
	}
	return say.Of(say.Speech{say.New("report-says.busiest-time-then", cycle(n.Name), n.Load*100, cycle(n.Next)), more})
}

// cycle is the name of a station, or of people's hands.
func cycle(name string) say.Sentence {
	if name == "hands" {
		return say.New("head.hands")
	}
	return say.New("", name)
}

func cropSection(b *records.Book, date string) Section {
	t := &Table{Columns: []Column{text("crop", "head.crop"), num("batches", "head.batches", ""), num("trays", "head.trays", ""), num("packages", "head.packages", ""), num("net_g", "head.net", "g"),
		num("hands_on_min", "head.hands-on", "min"), num("machine_min", "head.machine", "min"), num("waiting_wet_min", "head.waiting-wet", "min"), num("lead_min", "head.cut-to-cold", "min"), text("lots", "head.lots")}}
	type sum struct {
		batches, trays, packages int
		net                      float64
		shares                   records.Shares
		lead                     time.Duration
		lots                     []string
	}
	var order []string
	sums := map[string]*sum{}
	for i := range b.Batches {
		bt := &b.Batches[i]
		if bt.Date != date || bt.Fate == line.Merged {
			continue
		}
		s := sums[bt.Crop]
		if s == nil {
			s = &sum{}
			sums[bt.Crop] = s
			order = append(order, bt.Crop)
		}
		s.batches++
		s.trays += bt.Trays
		s.packages += bt.Packages
		s.net += bt.NetG
		s.shares.Add(bt.Shares)
		s.lead += bt.Lead()
		if bt.Lot != "" {
			s.lots = append(s.lots, strings.TrimPrefix(bt.Lot, date+"-"))
		}
	}
	for _, crop := range order {
		s := sums[crop]
		t.Rows = append(t.Rows, []Cell{Text(crop), Int(s.batches), Int(s.trays), Int(s.packages), Number(s.net, 0),
			Minutes(s.shares[records.HandsOn]), Minutes(s.shares[records.Machine]), Minutes(s.shares[records.WaitWet]),
			Minutes(s.lead / time.Duration(s.batches)), Text(strings.Join(s.lots, " "))})
	}
	return Section{Name: "crops", Title: say.New("report-part.crops"), Table: t}
}

func personSection(day *records.Day) Section {
	t := &Table{Columns: append([]Column{text("person", "head.person")}, shareColumns(peopleShares)...)}
	for _, p := range day.People {
		name := Text(p.Name)
		if p.Name == "" {
			name = Sentence(say.New("report-says.not-named"))
		}
		row := []Cell{name}
		for _, s := range peopleShares {
			row = append(row, Minutes(p.Shares[s]))
		}
		t.Rows = append(t.Rows, row)
	}
	return Section{Name: "people", Title: say.New("report-part.people"), Table: t}
}

func daySafety(b *records.Book, date string) (Section, bool) {
	var lines []records.SafetyLine
	for _, l := range b.Safety() {
		if l.Entry.Made.Format(time.DateOnly) == date {
			lines = append(lines, l)
		}
	}
	return Section{Name: "safety", Title: say.New("report-part.safety"), Table: shortSafety(lines)}, len(lines) > 0
}

// shortSafety fits on the day's page; the safety report has the whole entries.
func shortSafety(lines []records.SafetyLine) *Table {
	t := &Table{Columns: []Column{num("no", "head.no", ""), text("made", "head.made"), text("entry", "head.entry"), text("where", "head.where"), text("value", "head.value"),
		text("beside", "head.beside"), text("signed", "head.signed")}}
	for i := range lines {
		l := &lines[i]
		t.Rows = append(t.Rows, []Cell{Int(int(l.Seq)), Sentence(say.Of(say.Time(l.Entry.Made))), Sentence(l.Entry.Kind.Title()), Text(l.Entry.Where),
			Text(Value(&l.Entry)), Sentence(Beside(l)), Text(l.Entry.Initials)})
	}
	return t
}

func dayNotes(b *records.Book, date string) []say.Sentence {
	var out []say.Sentence
	for _, n := range b.Notes {
		if n.At.Format(time.DateOnly) == date {
			out = append(out, say.Join([]say.Sentence{say.Of(say.Time(n.At)), say.Of(n.Text)}, "  "))
		}
	}
	for _, m := range b.Marks {
		if m.Date == date {
			out = append(out, say.New("report-says.changed", say.Time(m.At), m.Text))
		}
	}
	return out
}
