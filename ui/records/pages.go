package recordsui

import (
	"fmt"
	"strings"

	"shedbell/line/records"
	"shedbell/line/records/report"
	"shedbell/line/say"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// drawToday draws the open day's figures, or those of the last day in the journal.
func (s *Screen) drawToday(env *screen.Env, r canvas.Region) {
	book := s.job.Today()
	if book == nil || len(book.Days) == 0 {
		if all := s.job.All(); all != nil {
			book = all
		}
	}
	p := s.today.get(book, 0, func() *paper { return dayPaper(book) })
	if p == nil {
		r.Inset(1, 0).Wrapped(theme.Text, env.Words.Say("records-page.no-day"))
		return
	}
	p.from = s.marked[pageToday]
	p.draw(env.Words, r)
	s.marked[pageToday], s.last = p.from, p.last
}

// dayPaper is the last day of a book with its stations; nil where there is none.
func dayPaper(b *records.Book) *paper {
	if b == nil || len(b.Days) == 0 {
		return nil
	}
	date := b.Days[len(b.Days)-1].Date
	doc, ok := report.Day(b, date)
	if !ok {
		return nil
	}
	one := *b
	one.Days = b.Days[len(b.Days)-1:]
	for _, sec := range report.Time(&one).Sections {
		if sec.Name == "by_"+string(records.ByStation) {
			doc.Sections = append(doc.Sections, sec)
		}
	}
	return &paper{doc: doc}
}

// lotList are the lots, the latest first, as far as the journal is read.
func (s *Screen) lotList() []records.Lot {
	book := s.lotBook()
	return s.lots.get(book, 0, func() []records.Lot {
		if book == nil {
			return nil
		}
		all := book.Lots()
		out := make([]records.Lot, len(all))
		for i := range all {
			out[len(all)-1-i] = all[i]
		}
		return out
	})
}

func (s *Screen) lotBook() *records.Book {
	if all := s.job.All(); all != nil {
		return all
	}
	return s.job.Today()
}

func (s *Screen) drawLots(env *screen.Env, r canvas.Region) {
	lots := s.lotList()
	if len(lots) == 0 {
		r.Inset(1, 0).Wrapped(theme.Text, env.Words.Say("records-page.no-lots"))
		return
	}
	w := env.Words
	head := row{{3, theme.Faint, w.Say("records-page.lot")}, {18, theme.Faint, w.Say("records-page.crop")},
		{32, theme.Faint, w.Say("records-page.packed")}, {42, theme.Faint, w.Say("records-page.sold")}, {50, theme.Faint, w.Say("records-page.left")}}
	drawRows(w, r, []row{head}, 0)
	marked := min(s.marked[pageLots], len(lots)-1)
	room := max(r.H-1, 1)
	first := max(0, min(marked-room/2, len(lots)-room))
	for i := first; i < len(lots) && i-first < room; i++ {
		l := &lots[i]
		line := r.Rows(1+i-first, 1)
		role := theme.Text
		if i == marked {
			role = theme.Chosen
			line.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		line.Put(3, 0, role, l.Code)
		line.Sub(18, 0, 13, 1).Put(0, 0, theme.Text, env.Words.Crop(l.Crop))
		line.PutRight(38, 0, theme.Text, fmt.Sprint(l.Packages))
		left := l.Left()
		if now, ok := env.State.LotLeft(l.Code); ok {
			left = now // also what was sold since the journal was read
		}
		line.PutRight(46, 0, theme.Text, fmt.Sprint(l.Packages-left))
		line.PutRight(54, 0, theme.Strong, fmt.Sprint(left))
		if r.W >= 75 {
			line.Put(58, 0, theme.Faint, w.Date(l.Packed, "2 Jan 2006 15:04"))
		}
	}
}

// lotPaper is the trace of the marked lot, or its mock recall.
func (s *Screen) lotPaper(env *screen.Env, recall bool) *paper {
	l, ok := s.markedLot()
	if !ok {
		return nil
	}
	code := l.Code
	write := report.Trace
	if recall {
		write = report.Recall
	}
	doc, err := write(s.lotBook(), code)
	if err != nil {
		doc = &report.Doc{Title: say.New("records-page.lot-title", code), Sections: []report.Section{{Text: []say.Sentence{say.Of(err)}}}}
	}
	return &paper{doc: doc}
}

// drawTrend draws a figure day by day with its usual range, and what it says.
func (s *Screen) drawTrend(env *screen.Env, r canvas.Region) {
	book := s.lotBook()
	metrics := s.metrics()
	s.metric = min(s.metric, len(metrics)-1)
	p := s.trend.get(book, s.metric, func() *records.Progress {
		if book == nil {
			return nil
		}
		got, err := book.Progress(metrics[s.metric].Name())
		if err != nil {
			return nil
		}
		return &got
	})
	m := &metrics[s.metric]
	pen := &pen{r: r.Inset(1, 0)}
	aim := env.Words.Say("records-page.more-is-better")
	if m.LessIsGood {
		aim = env.Words.Say("records-page.less-is-better")
	}
	pen.put(theme.Strong, env.Words.Say("records-page.figure", s.metric+1, len(metrics), env.Words.Sentence(m.Says()), env.Words.Say(m.Unit), aim))
	if p == nil || len(p.Values) == 0 {
		pen.put(theme.Text, env.Words.Say("records-page.no-value"))
		return
	}
	said := []string{}
	for _, s := range report.Words(p) {
		said = append(said, env.Words.Sentence(s))
	}
	rows := 0
	for _, t := range said {
		rows += len(canvas.Wrap(t, pen.r.W))
	}
	high := max(min(r.H-pen.y-rows-1, 20), 6)
	drawChart(env, pen.rest().Rows(0, high), p)
	pen.y += high
	for _, t := range said {
		pen.put(theme.Text, t)
	}
}

// metrics are what the journal has figures for, as far as it is read.
func (s *Screen) metrics() []records.Metric {
	book := s.lotBook()
	return s.known.get(book, 1, func() []records.Metric {
		if book == nil {
			return (&records.Book{}).Metrics()
		}
		return book.Metrics()
	})
}

const axisW = 9

// drawChart is an individuals chart: a mark for each day, lines for the mean and
// the limits, a post where something was changed.
func drawChart(env *screen.Env, r canvas.Region, p *records.Progress) {
	plotH := r.H - 1
	w := r.W - axisW
	if plotH < 4 || w < 8 {
		return
	}
	per := max(1, min(w/len(p.Values), 6))
	n := min(len(p.Values), w/per)
	from := len(p.Values) - n
	low, high := p.Values[from], p.Values[from]
	for _, v := range p.Values[from:] {
		low, high = min(low, v), max(high, v)
	}
	if p.Chart != nil {
		low, high = min(low, p.Chart.Lower), max(high, p.Chart.Upper)
	}
	if high <= low {
		high = low + 1
	}
	y := func(v float64) int { return int((high-v)/(high-low)*float64(plotH-1) + 0.5) }
	plot := r.Sub(axisW, 0, w, plotH)
	g := r.Theme().Glyphs
	if p.Chart != nil {
		for _, l := range []struct {
			v    float64
			name string
		}{{p.Chart.Upper, "high"}, {p.Chart.Lower, "low"}, {p.Chart.Mean, "mean"}} {
			plot.Put(0, y(l.v), theme.Faint, strings.Repeat(g.Left, n*per))
			r.Sub(0, 0, axisW-1, plotH).PutRight(axisW-1, y(l.v), theme.Faint, fmt.Sprintf("%.3g", l.v))
		}
	}
	for _, m := range p.Marks {
		if m.Before > from && m.Before < len(p.Values) {
			for row := range plotH {
				plot.Put((m.Before-from)*per-1, row, theme.Faint, g.Post)
			}
		}
	}
	flagged := map[int]bool{}
	if p.Chart != nil {
		for _, sig := range p.Chart.Signals {
			flagged[sig.At] = true
		}
	}
	for i := range n {
		role, mark := theme.Bar, g.Mark
		if flagged[from+i] {
			role, mark = theme.Soon, "!"
		}
		plot.Put(i*per+per/2, y(p.Values[from+i]), role, mark)
	}
	axis := r.Sub(axisW, plotH, w, 1)
	first := env.Words.ShortDate(p.Dates[from])
	x := axis.Put(0, 0, theme.Faint, first)
	if last := env.Words.ShortDate(p.Dates[len(p.Dates)-1]); n*per > x+canvas.Width(last)+1 {
		axis.PutRight(n*per, 0, theme.Faint, last)
	}
}
