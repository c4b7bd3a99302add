package report

import (
	"bufio"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"shedbell/line/say"
)

// Tables lists the parts of a report that have a table.
func (d *Doc) Tables() (out []*Section) {
	for i := range d.Sections {
		if d.Sections[i].Table != nil {
			out = append(out, &d.Sections[i])
		}
	}
	return out
}

// CSV writes one table of a report as RFC 4180: CRLF at line ends, quotes where they are
// needed, the same number of fields on every line, UTF-8 without a byte order mark.
// Instants are ISO 8601 with their offset, and each column holds one kind of value.
func CSV(w io.Writer, d *Doc, t *Table) error {
	out := bufio.NewWriter(w)
	t = t.tidy(d.speaker())
	head := make([]string, len(t.Columns))
	for i := range t.Columns {
		head[i] = d.heading(&t.Columns[i])
	}
	record(out, head)
	cells := make([]string, len(head))
	for _, row := range t.Rows {
		for i, c := range row {
			switch {
			case !c.At.IsZero():
				cells[i] = c.At.Format(time.RFC3339)
			case c.IsNum:
				cells[i] = c.Text
			default:
				cells[i] = Field(c.Text)
			}
		}
		record(out, cells)
	}
	return out.Flush()
}

// tidy has one kind of value a column: readings in the column of their unit, and beside
// what a word says its code.
func (t *Table) tidy(w *say.Speaker) *Table {
	if !slices.ContainsFunc(t.Rows, func(row []Cell) bool {
		return slices.ContainsFunc(row, func(c Cell) bool { return c.Unit != "" || !c.Said.IsZero() })
	}) {
		return t
	}
	out := &Table{Rows: make([][]Cell, len(t.Rows))}
	at := 0
	add := func(c Column, cell func(c *Cell) Cell) {
		out.Columns = append(out.Columns, c)
		for i := range t.Rows {
			out.Rows[i] = append(out.Rows[i], cell(&t.Rows[i][at]))
		}
	}
	for i, c := range t.Columns {
		at = i
		units, codes := t.kinds(i)
		for _, unit := range units {
			of := c
			of.Key, of.Unit = c.Key+"_"+unitKey(unit), unit
			add(of, func(c *Cell) Cell {
				if c.Unit != unit {
					return Cell{}
				}
				return exact(c.Number)
			})
		}
		if codes {
			of := c
			of.Key, of.Head, of.Unit = c.Key+"_code", w.Say("head.code-of", c.Head), ""
			add(of, func(c *Cell) Cell { return Text(c.Said.ID[strings.LastIndex(c.Said.ID, ".")+1:]) })
		}
		if len(units) == 0 {
			add(c, func(c *Cell) Cell { return *c })
		}
	}
	return out
}

// kinds are the units of a column's readings, and whether all that it says are words
// without values, which have a code.
func (t *Table) kinds(column int) (units []string, codes bool) {
	words := true
	for _, row := range t.Rows {
		c := &row[column]
		if c.Unit != "" && !slices.Contains(units, c.Unit) {
			units = append(units, c.Unit)
		}
		if !c.Said.IsZero() {
			word := len(c.Said.Args) == 0 && strings.Contains(c.Said.ID, ".")
			words, codes = words && word, true
		}
	}
	slices.Sort(units)
	return units, codes && words
}

func unitKey(unit string) string {
	return strings.ToLower(strings.NewReplacer("%", "percent", "/", "_per_", " ", "_").Replace(unit))
}

// exact is a number with as many digits as it has, and no exponent.
func exact(v float64) Cell {
	return Cell{Text: strconv.FormatFloat(v, 'f', -1, 64), Number: v, IsNum: true}
}

// Field is a text that no spreadsheet takes for a formula: one that begins with
// = + - @ or their full-width forms, tab or a line break gets an apostrophe in
// front, as OWASP advises against CSV injection (from memory).
func Field(s string) string {
	trimmed := strings.TrimSpace(s)
	if trimmed == "" {
		return s
	}
	if strings.ContainsRune("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20", []rune(trimmed)[0]) {
		return "'" + s
	}
	return s
}

// record writes one line. Every field that holds more than plain letters is
// quoted, quotes inside are doubled.
func record(w *bufio.Writer, fields []string) {
	for i, f := range fields {
		if i > 0 {
			_ = w.WriteByte(',')
		}
		if strings.ContainsAny(f, ",\"\r\n;\t'") || f != strings.TrimSpace(f) || len(fields) == 1 && f == "" {
			_ = w.WriteByte('"')
			_, _ = w.WriteString(strings.ReplaceAll(f, `"`, `""`))
			_ = w.WriteByte('"')
			continue
		}
		_, _ = w.WriteString(f)
	}
	_, _ = w.WriteString("\r\n")
}
