package report

import (
	"bufio"
	"io"
	"strings"
)

// CSV writes the report's tables as RFC 4180: CRLF at line ends, quotes where they
// are needed, the same number of fields on every line, UTF-8 without a byte order
// mark. Several tables share one header with the columns of all of them, behind a
// column that names the section.
func CSV(w io.Writer, d *Doc) error {
	out := bufio.NewWriter(w)
	var tables []*Section
	for i := range d.Sections {
		if d.Sections[i].Table != nil {
			tables = append(tables, &d.Sections[i])
		}
	}
	var head []string
	if len(tables) > 1 {
		head = append(head, d.speaker().Say("report-head.section"))
	}
	at := map[string]int{}
	for _, s := range tables {
		for _, c := range s.Table.Columns {
			if _, ok := at[c.Key]; !ok {
				at[c.Key] = len(head)
				head = append(head, d.heading(&c))
			}
		}
	}
	record(out, head)
	cells := make([]string, len(head))
	for _, s := range tables {
		for _, row := range s.Table.Rows {
			clear(cells)
			if len(tables) > 1 {
				cells[0] = Field(s.Name)
			}
			for i, c := range row {
				text := c.Text
				if !c.IsNum {
					text = Field(text)
				}
				cells[at[s.Table.Columns[i].Key]] = text
			}
			record(out, cells)
		}
	}
	return out.Flush()
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
