package report

import (
	"io"
	"strings"

	"shedbell/line/records"
	"shedbell/line/say"
)

// labelLines are the lines of a label as people read them, the crop in capitals.
func labelLines(l *records.Label, w *say.Speaker) []string {
	var out []string
	for i, s := range l.Lines() {
		text := Clean(w.Sentence(s))
		if i == 0 {
			text = strings.ToUpper(text)
		}
		out = append(out, text)
	}
	return out
}

// LabelText is the labels as lines, one label after the other with an empty line
// between, as label printers take them.
func LabelText(b *records.Book, w *say.Speaker) string {
	var all []string
	for _, l := range b.Labels() {
		all = append(all, strings.Join(labelLines(&l, w), "\n")+"\n")
	}
	return strings.Join(all, "\n")
}

// A sheet of labels: US letter, two across and five down, 4 by 2 inches each, as sheets of
// ten are sold. In millimetres.
const (
	labelAcross, labelDown = 2, 5
	labelWide, labelHigh   = 101.6, 50.8
	labelLeft, labelTop    = 3.96, 12.7
	labelApart             = 4.78 // between the two columns
	labelEdge              = 4.0  // free on every side, as printers are out by as much
)

// LabelSheet writes the labels for the printer, as many of each as there are packages.
func LabelSheet(out io.Writer, b *records.Book, w *say.Speaker) error {
	p := newPage((&Doc{Title: say.New("report-title.labels"), Made: b.Last}).In(w))
	p.f.SetFooterFunc(nil)
	n := 0
	for _, l := range b.Labels() {
		lines := labelLines(&l, w)
		for range l.Count {
			if n > 0 && n%(labelAcross*labelDown) == 0 {
				p.f.AddPage()
			}
			at := n % (labelAcross * labelDown)
			p.label(labelLeft+float64(at%labelAcross)*(labelWide+labelApart), labelTop+float64(at/labelAcross)*labelHigh, lines)
			n++
		}
	}
	if p.f.Err() {
		return p.f.Error()
	}
	return p.f.Output(out)
}

// label writes one label: the crop large, the rest as large as it all fits.
func (p *page) label(x, y float64, lines []string) {
	width := labelWide - 2*labelEdge
	size, high := 11.0, 0.0
	var rows []string
	for ; size > 5; size -= 0.5 {
		p.size(size)
		rows = nil
		for _, text := range lines[1:] {
			rows = append(rows, p.wrap(text, width)...)
		}
		if high = size * 0.43; 7+high*float64(len(rows)) <= labelHigh-2*labelEdge {
			break
		}
	}
	p.size(16)
	p.f.SetXY(x+labelEdge, y+labelEdge)
	p.f.CellFormat(width, 6.5, p.fit(lines[0], width), "", 0, "L", false, 0, "")
	p.size(size)
	for i, text := range rows {
		p.f.SetXY(x+labelEdge, y+labelEdge+7+float64(i)*high)
		p.f.CellFormat(width, high, text, "", 0, "L", false, 0, "")
	}
}
