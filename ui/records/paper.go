package recordsui

import (
	"strings"

	"shedbell/line/records/report"
	"shedbell/ui/canvas"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// piece is text at a column; a row is pieces side by side.
type piece struct {
	x    int
	role theme.Role
	text string
}

// bar stands for a cell of a bar: its glyph is the theme's.
const bar = "\x00"

type row []piece

// drawRows draws rows from one on and says when there is more.
func drawRows(w *words.Speaker, r canvas.Region, rows []row, from int) {
	from = min(max(from, 0), max(len(rows)-1, 0))
	room := r.H
	if from+r.H < len(rows) && r.H > 1 {
		room--
		r.PutRight(r.W-1, room, theme.Strong, w.Say("records-page.more-below"))
	}
	for y := 0; y < room && from+y < len(rows); y++ {
		for _, p := range rows[from+y] {
			r.Put(p.x, y, p.role, strings.ReplaceAll(p.text, bar, r.Theme().Glyphs.Full))
		}
	}
}

// paper is a report on the screen.
type paper struct {
	doc   *report.Doc
	from  int
	last  int // most that from can be
	width int // that rows was made for
	rows  []row
}

const pageRows = 10

func (p *paper) scroll(name string) {
	switch name {
	case "+", "=", "down", "j":
		p.from++
	case "-", "up", "k":
		p.from--
	case "pgdown", "3", " ":
		p.from += pageRows
	case "pgup", "9":
		p.from -= pageRows
	case "home", "7":
		p.from = 0
	}
	p.from = min(max(p.from, 0), p.last)
}

func (p *paper) draw(w *words.Speaker, r canvas.Region) {
	if p.width != r.W {
		p.width, p.rows = r.W, layOut(w, p.doc, r.W)
	}
	p.last = max(len(p.rows)-r.H, 0)
	p.from = min(p.from, p.last)
	drawRows(w, r, p.rows, p.from)
}

// layOut lays a report out for a width.
func layOut(w *words.Speaker, d *report.Doc, width int) []row {
	l := &layout{words: w, width: width}
	l.text(1, theme.Strong, w.Sentence(d.Title))
	for i := range d.Sections {
		s := &d.Sections[i]
		if !s.Title.IsZero() {
			l.rows = append(l.rows, nil)
			l.text(1, theme.Strong, w.Sentence(s.Title))
		}
		for _, t := range s.Text {
			l.text(1, theme.Text, w.Sentence(t))
		}
		if s.Table != nil {
			l.table(s.Table)
		}
		for k := range s.Charts {
			if s.Charts[k].Bars {
				l.bars(&s.Charts[k])
			}
		}
	}
	if !d.Foot.IsZero() {
		l.rows = append(l.rows, nil)
		l.text(1, theme.Faint, w.Sentence(d.Foot))
	}
	return l.rows
}

// leastText is the room below which a long last column is not worth having.
const leastText = 24

type layout struct {
	words *words.Speaker
	width int
	rows  []row
}

func (l *layout) text(x int, role theme.Role, text string) {
	for _, s := range canvas.Wrap(text, max(l.width-x-1, 1)) {
		l.rows = append(l.rows, row{{x, role, s}})
	}
}

// table draws columns where they fit; else every row is what its cells say, one
// after the other.
func (l *layout) table(t *report.Table) {
	if len(t.Rows) == 0 {
		l.text(2, theme.Faint, l.words.Say("records-page.none"))
		return
	}
	heads := make([]string, len(t.Columns))
	widths := make([]int, len(t.Columns))
	all := 2
	for i, c := range t.Columns {
		heads[i] = l.words.Say(c.Head)
		if c.Unit != "" {
			heads[i] += " " + l.words.Say(c.Unit)
		}
		widths[i] = canvas.Width(heads[i])
		for _, cells := range t.Rows {
			widths[i] = max(widths[i], canvas.Width(l.cell(&cells[i])))
		}
		all += widths[i] + 2
	}
	last := len(widths) - 1
	if rest := l.width - (all - widths[last]); all > l.width && (rest < leastText || t.Columns[last].Right) {
		l.list(t, heads)
		return
	} else if all > l.width {
		widths[last] = rest // what is long wraps in its column
	}
	line := func(role theme.Role, cell func(i int) string) {
		var out row
		x := 2
		for i, c := range t.Columns[:last] {
			at := x
			if c.Right {
				at += widths[i] - canvas.Width(cell(i))
			}
			out = append(out, piece{at, role, cell(i)})
			x += widths[i] + 2
		}
		at := x
		if t.Columns[last].Right {
			at += widths[last] - canvas.Width(cell(last))
		}
		for _, text := range canvas.Wrap(cell(last), max(widths[last], 1)) {
			l.rows = append(l.rows, append(out, piece{at, role, text}))
			out = nil
		}
	}
	line(theme.Faint, func(i int) string { return heads[i] })
	for _, cells := range t.Rows {
		line(theme.Text, func(i int) string { return l.cell(&cells[i]) })
	}
}

// cell is what a cell says. What people wrote stays as it is.
func (l *layout) cell(c *report.Cell) string {
	if !c.Said.IsZero() {
		return report.Clean(l.words.Sentence(c.Said))
	}
	return c.Text
}

func (l *layout) list(t *report.Table, heads []string) {
	for _, cells := range t.Rows {
		var parts []string
		for i := 1; i < len(cells); i++ {
			if cells[i].Text != "" && !(cells[i].IsNum && cells[i].Number == 0) {
				parts = append(parts, heads[i]+" "+l.cell(&cells[i]))
			}
		}
		l.text(2, theme.Strong, l.cell(&cells[0]))
		l.text(4, theme.Text, strings.Join(parts, ", "))
	}
}

// bars draws a bar for each value, with the value beside it.
func (l *layout) bars(c *report.Chart) {
	l.rows = append(l.rows, nil)
	l.text(1, theme.Strong, l.words.Sentence(c.Title))
	names := make([]string, len(c.Values))
	nameW, most := 0, 0.0
	for i, v := range c.Values {
		if names[i] = c.Labels[i]; len(c.Said) > i {
			names[i] = l.words.Sentence(c.Said[i])
		}
		nameW, most = max(nameW, canvas.Width(names[i])), max(most, v)
	}
	room := min(l.width-nameW-16, 60)
	for i, v := range c.Values {
		cell := report.Number(v, 1).Text + " " + l.words.Say(c.Unit)
		out := row{{2, theme.Text, names[i]}, {nameW + 4 + 11 - canvas.Width(cell), theme.Strong, cell}}
		if n := int(v / max(most, 1e-9) * float64(room)); n > 0 {
			out = append(out, piece{nameW + 16, theme.Bar, strings.Repeat(bar, n)})
		}
		l.rows = append(l.rows, out)
	}
}
