package report

import "shedbell/line/say"

// In is the report as a speaker says it, for every format that people read. Its names
// and keys, which scripts read, stay as they are.
func (d *Doc) In(w *say.Speaker) *Doc {
	out := *d
	out.words = w
	said := func(list []say.Sentence) []say.Sentence {
		out := make([]say.Sentence, len(list))
		for i, s := range list {
			out[i] = spoken(w, s)
		}
		return out
	}
	out.Title, out.Foot, out.Lines = spoken(w, d.Title), spoken(w, d.Foot), said(d.Lines)
	out.Sections = make([]Section, len(d.Sections))
	for i, s := range d.Sections {
		s.Title, s.Text = spoken(w, s.Title), said(s.Text)
		if s.Table != nil {
			s.Table = s.Table.in(w)
		}
		charts := s.Charts
		s.Charts = make([]Chart, len(charts))
		for k, c := range charts {
			c.Title, c.Unit = spoken(w, c.Title), w.Say(c.Unit)
			if len(c.Said) > 0 {
				c.Labels = make([]string, len(c.Said))
				for n, label := range c.Said {
					c.Labels[n] = w.Sentence(label)
				}
			}
			s.Charts[k] = c
		}
		out.Sections[i] = s
	}
	return &out
}

func spoken(w *say.Speaker, s say.Sentence) say.Sentence {
	if s.IsZero() {
		return s
	}
	return say.Of(w.Sentence(s))
}

func (t *Table) in(w *say.Speaker) *Table {
	out := &Table{Columns: make([]Column, len(t.Columns)), Rows: make([][]Cell, len(t.Rows))}
	for i, c := range t.Columns {
		c.Head, c.Unit = w.Say(c.Head), w.Say(c.Unit)
		out.Columns[i] = c
	}
	for i, row := range t.Rows {
		out.Rows[i] = make([]Cell, len(row))
		for k, c := range row {
			if !c.Said.IsZero() {
				c.Text = Clean(w.Sentence(c.Said))
			}
			out.Rows[i][k] = c
		}
	}
	return out
}

// speaker says what a format itself has to say.
func (d *Doc) speaker() *say.Speaker {
	if d.words == nil {
		return say.English()
	}
	return d.words
}

// heading is what stands over a column of a CSV file: the key that scripts read, or, in
// another language, what people call it.
func (d *Doc) heading(c *Column) string {
	switch {
	case d.speaker().Language() == say.English().Language():
		return c.Key
	case c.Unit != "":
		return c.Head + " " + c.Unit
	}
	return c.Head
}
