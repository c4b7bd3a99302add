package report

import (
	_ "embed"
	"io"
	"strings"
	"time"

	"github.com/go-pdf/fpdf"
)

// The font is embedded whole in the program and by its used letters in a file, so
// that a name looks the same on every machine and printer.
//
//go:embed font/dejavu_sans_condensed.ttf
var fontFile []byte

// Measures of a page in millimetres: US letter, room for a two-hole punch.
const (
	margin    = 15.0
	bodySize  = 8.5
	bodyLine  = 4.0
	headSize  = 14.0
	titleSize = 10.5
	font      = "body"
)

// PDF writes the report for the printer: US letter pages with the title, the date
// of the newest record and page numbers on each. Wide tables lie on their side.
func PDF(w io.Writer, d *Doc) error {
	p := newPage(d)
	p.head()
	for i := range d.Sections {
		p.section(&d.Sections[i])
	}
	if p.f.Err() {
		return p.f.Error()
	}
	return p.f.Output(w)
}

type page struct {
	f     *fpdf.Fpdf
	d     *Doc
	width float64 // between the margins
	high  float64 // of the whole page
}

func newPage(d *Doc) *page {
	turn := "P"
	for i := range d.Sections {
		if t := d.Sections[i].Table; t != nil && len(t.Columns) > 10 {
			turn = "L"
		}
	}
	f := fpdf.New(turn, "mm", "Letter", "")
	made := d.Made.UTC().Truncate(time.Second)
	f.SetCatalogSort(true)
	f.SetCreationDate(made)
	f.SetModificationDate(made)
	f.SetProducer("shedbell", true)
	f.SetTitle(Clean(d.Title.String()), true)
	f.AddUTF8FontFromBytes(font, "", fontFile)
	f.SetMargins(margin, margin, margin)
	f.SetAutoPageBreak(false, margin)
	f.AliasNbPages("{pages}")
	wide, high := f.GetPageSize()
	p := &page{f: f, d: d, width: wide - 2*margin, high: high}
	f.SetFooterFunc(p.foot)
	f.AddPage()
	return p
}

func (p *page) foot() {
	p.f.SetY(p.high - margin + 1)
	p.size(6.5)
	text := Clean(p.d.Title.String())
	if !p.d.Made.IsZero() {
		text = p.d.speaker().Say("report-head.newest", text, p.d.Made.Format("2006-01-02 15:04 -07:00"))
	}
	p.f.CellFormat(p.width-25, 3.5, p.fit(text, p.width-25), "", 0, "L", false, 0, "")
	p.f.CellFormat(25, 3.5, p.d.speaker().Say("report-head.page", p.f.PageNo(), "{pages}"), "", 2, "R", false, 0, "")
	if foot := p.d.Foot.String(); foot != "" {
		p.f.SetX(margin)
		for _, l := range p.wrap(Clean(foot), p.width) {
			p.f.CellFormat(p.width, 3, l, "", 2, "L", false, 0, "")
		}
	}
}

func (p *page) size(pt float64) { p.f.SetFont(font, "", pt) }

// bottom is where the text of a page ends.
func (p *page) bottom() float64 { return p.high - margin - 1 }

// room begins a new page unless so much is left of this one.
func (p *page) room(mm float64) bool {
	if p.f.GetY()+mm <= p.bottom() {
		return false
	}
	p.f.AddPage()
	return true
}

func (p *page) head() {
	p.size(headSize)
	for _, l := range p.wrap(Clean(p.d.Title.String()), p.width) {
		p.f.CellFormat(p.width, 7, l, "", 2, "L", false, 0, "")
	}
	p.size(bodySize)
	for _, text := range p.d.Lines {
		p.paragraph(text.String())
	}
}

func (p *page) paragraph(text string) {
	for _, l := range p.wrap(Clean(text), p.width) {
		p.room(bodyLine)
		p.f.CellFormat(p.width, bodyLine, l, "", 2, "L", false, 0, "")
	}
}

func (p *page) section(s *Section) {
	p.room(22)
	p.f.Ln(3)
	if !s.Title.IsZero() {
		p.size(titleSize)
		p.f.CellFormat(p.width, 6, p.fit(Clean(s.Title.String()), p.width), "", 2, "L", false, 0, "")
	}
	p.size(bodySize)
	for _, text := range s.Text {
		p.paragraph(text.String())
	}
	if s.Table != nil {
		p.table(s.Table)
	}
	for i := range s.Charts {
		p.chart(&s.Charts[i])
	}
}

// table draws the rows, their heads again on every page.
func (p *page) table(t *Table) {
	p.size(7.5)
	wide := p.widths(t)
	heads := make([]Cell, len(t.Columns))
	for i, c := range t.Columns {
		heads[i] = Text(strings.TrimSpace(c.Head + " " + c.Unit))
	}
	p.f.SetDrawColor(150, 150, 150)
	p.f.SetLineWidth(0.1)
	p.row(t, wide, heads, true)
	for _, row := range t.Rows {
		p.row(t, wide, row, false, heads...)
	}
	if len(t.Rows) == 0 {
		p.f.CellFormat(p.width, bodyLine, "(none)", "", 2, "L", false, 0, "")
	}
	p.size(bodySize)
}

const cellPad = 0.8

// row draws one row; heads are drawn again when it begins a page.
func (p *page) row(t *Table, wide []float64, cells []Cell, isHead bool, heads ...Cell) {
	const line = 3.5
	lines := make([][]string, len(cells))
	most := 1
	for i, c := range cells {
		lines[i] = p.wrap(c.Text, wide[i]-2*cellPad)
		most = max(most, len(lines[i]))
	}
	high := float64(most)*line + 2*cellPad
	if p.room(high) && !isHead && heads != nil {
		p.size(7.5)
		p.row(t, wide, heads, true)
	}
	x, y := margin, p.f.GetY()
	if isHead {
		p.f.SetFillColor(235, 235, 235)
		p.f.Rect(x, y, sum(wide), high, "F")
	}
	for i := range cells {
		align := "L"
		if t.Columns[i].Right {
			align = "R"
		}
		for k, l := range lines[i] {
			p.f.SetXY(x+cellPad, y+cellPad+float64(k)*line)
			p.f.CellFormat(wide[i]-2*cellPad, line, l, "", 0, align, false, 0, "")
		}
		x += wide[i]
	}
	p.f.Line(margin, y+high, margin+sum(wide), y+high)
	p.f.SetXY(margin, y+high)
}

func sum(v []float64) (s float64) {
	for _, x := range v {
		s += x
	}
	return s
}

// widths gives every column what its longest text needs, up to a part of the page;
// what does not fit is taken from the widest.
func (p *page) widths(t *Table) []float64 {
	wide := make([]float64, len(t.Columns))
	for i, c := range t.Columns {
		for _, word := range strings.Fields(c.Head + " " + c.Unit) {
			wide[i] = max(wide[i], p.f.GetStringWidth(word))
		}
		for r, row := range t.Rows {
			if r == 400 {
				break // as wide as the first hundreds are
			}
			wide[i] = max(wide[i], min(p.f.GetStringWidth(row[i].Text), p.width/3))
		}
		wide[i] += 2*cellPad + 0.6
	}
	for sum(wide) > p.width {
		most, next := 0, 8.0
		for i := range wide {
			if wide[i] > wide[most] {
				most = i
			}
		}
		for i := range wide {
			if i != most {
				next = max(next, wide[i])
			}
		}
		over := sum(wide) - p.width
		cut := min(over, max(wide[most]-next, 0.5))
		wide[most] -= cut
	}
	return wide
}

// wrap breaks a text into lines of a width; a word that is too long is cut.
func (p *page) wrap(s string, width float64) []string {
	if p.f.GetStringWidth(s) <= width {
		return []string{s}
	}
	var out []string
	at := ""
	for _, word := range strings.Fields(s) {
		for p.f.GetStringWidth(word) > width {
			head := p.fit(word, width)
			if head == "" {
				break
			}
			if at != "" {
				out, at = append(out, at), ""
			}
			out = append(out, head)
			word = word[len(head):]
		}
		if at != "" && p.f.GetStringWidth(at+" "+word) > width {
			out, at = append(out, at), ""
		}
		if at != "" {
			at += " "
		}
		at += word
	}
	return append(out, at)
}

// fit is as much of a text as a width takes.
func (p *page) fit(s string, width float64) string {
	w := 0.0
	for i, r := range s {
		if w += p.f.GetStringWidth(string(r)); w > width && i > 0 {
			return s[:i]
		}
	}
	return s
}
