package report

import (
	"bufio"
	"io"
	"strings"

	"github.com/mattn/go-runewidth"
)

// textWidth is how wide a report is written where it can be.
const textWidth = 100

// Plain writes the report for a terminal or a file.
func Plain(w io.Writer, d *Doc) error {
	out := bufio.NewWriter(w)
	line := func(s string) { _, _ = out.WriteString(s + "\n") }
	line(Clean(d.Title.String()))
	for _, l := range d.Lines {
		line(Clean(l.String()))
	}
	for i := range d.Sections {
		s := &d.Sections[i]
		line("")
		if !s.Title.IsZero() {
			line(strings.ToUpper(Clean(s.Title.String())))
		}
		for _, p := range s.Text {
			for _, l := range Wrap(Clean(p.String()), textWidth) {
				line(l)
			}
		}
		if s.Table != nil {
			writeTable(d, line, s.Table)
		}
		for k := range s.Charts {
			if s.Charts[k].Bars {
				writeBars(line, &s.Charts[k])
			} else {
				writeSpark(d, line, &s.Charts[k])
			}
		}
	}
	if foot := d.Foot.String(); foot != "" {
		line("")
		for _, l := range Wrap(Clean(foot), textWidth) {
			line(l)
		}
	}
	return out.Flush()
}

func writeTable(d *Doc, line func(string), t *Table) {
	widths := make([]int, len(t.Columns))
	heads := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		heads[i] = c.Head
		if c.Unit != "" {
			heads[i] += " " + c.Unit
		}
		widths[i] = runewidth.StringWidth(heads[i])
		for _, row := range t.Rows {
			widths[i] = max(widths[i], runewidth.StringWidth(row[i].Text))
		}
	}
	one := func(cell func(i int) string) string {
		var b strings.Builder
		for i, c := range t.Columns {
			if i > 0 {
				b.WriteString("  ")
			}
			pad := strings.Repeat(" ", widths[i]-runewidth.StringWidth(cell(i)))
			if c.Right {
				b.WriteString(pad + cell(i))
			} else {
				b.WriteString(cell(i) + pad)
			}
		}
		return strings.TrimRight(b.String(), " ")
	}
	line(one(func(i int) string { return heads[i] }))
	for _, row := range t.Rows {
		line(one(func(i int) string { return row[i].Text }))
	}
	if len(t.Rows) == 0 {
		line(d.speaker().Say("report-head.none"))
	}
}

// longestBar is that of the highest value.
const longestBar = 40

// writeBars draws a bar for each value, with its name and the value beside it.
func writeBars(line func(string), c *Chart) {
	most, nameW, valueW := 0.0, 0, 0
	for i, v := range c.Values {
		most = max(most, v)
		nameW = max(nameW, runewidth.StringWidth(Clean(c.Labels[i])))
		valueW = max(valueW, len(Number(v, 1).Text))
	}
	line(Clean(c.Title.String()) + ", " + c.Unit)
	for i, v := range c.Values {
		name, value := Clean(c.Labels[i]), Number(v, 1).Text
		bar := strings.Repeat("#", max(0, int(v/max(most, 1e-9)*longestBar)))
		line(strings.TrimRight("  "+name+strings.Repeat(" ", nameW-runewidth.StringWidth(name)+2+valueW-len(value))+value+"  "+bar, " "))
	}
}

// writeSpark draws a chart in one line of digits: 0 at the lowest value, 9 at the
// highest, ! after a value that is marked.
func writeSpark(d *Doc, line func(string), c *Chart) {
	if len(c.Values) == 0 {
		return
	}
	low, high := c.Values[0], c.Values[0]
	for _, v := range c.Values {
		low, high = min(low, v), max(high, v)
	}
	var b strings.Builder
	flagged := map[int]bool{}
	for _, f := range c.Flags {
		flagged[f] = true
	}
	from := max(0, len(c.Values)-60)
	for i, v := range c.Values[from:] {
		d := 0
		if high > low {
			d = int((v - low) / (high - low) * 9.999)
		}
		b.WriteByte(byte('0' + d))
		if flagged[from+i] {
			b.WriteByte('!')
		}
	}
	line(d.speaker().Say("report-head.spark", Clean(c.Title.String()), Number(low, 2).Text, Number(high, 2).Text, c.Unit))
	line("  " + b.String())
}

// Wrap breaks a text at spaces.
func Wrap(s string, width int) []string {
	var out []string
	at := ""
	for _, word := range strings.Fields(s) {
		if at != "" && runewidth.StringWidth(at)+1+runewidth.StringWidth(word) > width {
			out = append(out, at)
			at = ""
		}
		if at != "" {
			at += " "
		}
		at += word
	}
	return append(out, at)
}
