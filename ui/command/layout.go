package command

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"shedbell/line/say"
	"shedbell/recipes/strictfile"
)

// width is the number of columns that every text output fits into.
const width = 80

// printableLines strips control characters but keeps the line breaks, and ends
// with one.
func printableLines(s string) string {
	lines := strings.Split(strings.TrimRight(s, "\n"), "\n")
	for i := range lines {
		lines[i] = strictfile.Printable(lines[i])
	}
	return strings.Join(lines, "\n") + "\n"
}

// wrap breaks text at spaces into lines that fit, the second and later ones
// indented. A word that is too long by itself, such as a path, is left whole.
func wrap(text string, indent int) string {
	var b strings.Builder
	col := 0
	for i, word := range strings.Split(strictfile.Printable(text), " ") {
		w := ansi.StringWidth(word)
		switch {
		case i == 0:
		case col > indent && col+1+w > width:
			b.WriteString("\n" + strings.Repeat(" ", indent))
			col = indent
		default:
			b.WriteString(" ")
			col++
		}
		b.WriteString(word)
		col += w
	}
	return b.String() + "\n"
}

// column is one column of a table.
type column struct {
	head  string
	right bool // numbers
	most  int  // widest it may get, in cells; longer text is cut
}

// table lays out rows under headings, each column as wide as its widest cell.
func table(columns []column, rows [][]string) string {
	wide := make([]int, len(columns))
	for i, c := range columns {
		wide[i] = ansi.StringWidth(c.head)
	}
	for _, row := range rows {
		for i := range row {
			row[i] = strictfile.Printable(row[i])
			if columns[i].most > 0 {
				row[i] = ansi.Truncate(row[i], columns[i].most, "~")
			}
			wide[i] = max(wide[i], ansi.StringWidth(row[i]))
		}
	}
	var b strings.Builder
	line := func(cells []string) {
		var out strings.Builder
		for i, cell := range cells {
			if i > 0 {
				out.WriteString("  ")
			}
			pad := strings.Repeat(" ", wide[i]-ansi.StringWidth(cell))
			if columns[i].right {
				out.WriteString(pad + cell)
			} else {
				out.WriteString(cell + pad)
			}
		}
		b.WriteString(strings.TrimRight(out.String(), " ") + "\n")
	}
	heads := make([]string, len(columns))
	for i, c := range columns {
		heads[i] = c.head
	}
	line(heads)
	for _, row := range rows {
		line(row)
	}
	return b.String()
}

// either joins names of which one is meant.
func either(names []string) say.Sentence {
	last := len(names) - 1
	if last < 1 {
		return say.Of(strings.Join(names, ""))
	}
	return say.New("cmd.or", strings.Join(names[:last], ", "), names[last])
}

// labelled are lines of a label and what it labels, which stands in one column.
func labelled(b *strings.Builder, rows [][2]string) {
	wide := 0
	for _, r := range rows {
		wide = max(wide, ansi.StringWidth(r[0]))
	}
	for _, r := range rows {
		b.WriteString(wrap(r[0]+strings.Repeat(" ", wide-ansi.StringWidth(r[0])+2)+r[1], wide+2))
	}
}
