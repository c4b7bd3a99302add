package report

import (
	"bytes"
	"encoding/json"
	"io"

	"shedbell/line/say"
)

// JSON writes the report as one object: the tables as lists of objects with the
// columns' keys, numbers as numbers.
func JSON(w io.Writer, d *Doc) error {
	doc := object{{"report", d.Name}, {"title", Clean(d.Title.String())}}
	if len(d.Lines) > 0 {
		doc = append(doc, member{"about", cleaned(inEnglish(d.Lines))})
	}
	if foot := d.Foot.String(); foot != "" {
		doc = append(doc, member{"note", Clean(foot)})
	}
	var sections []object
	for i := range d.Sections {
		sections = append(sections, d.Sections[i].object())
	}
	doc = append(doc, member{"sections", sections})
	raw, err := doc.MarshalJSON()
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := json.Indent(&out, raw, "", "  "); err != nil {
		return err
	}
	out.WriteByte('\n')
	_, err = w.Write(out.Bytes())
	return err
}

func (s *Section) object() object {
	o := object{{"name", s.Name}, {"title", Clean(s.Title.String())}}
	if len(s.Text) > 0 {
		o = append(o, member{"text", cleaned(inEnglish(s.Text))})
	}
	if s.Table != nil {
		rows := make([]object, len(s.Table.Rows))
		for i, row := range s.Table.Rows {
			rows[i] = object{}
			for k, c := range row {
				var v any = c.Text
				switch {
				case c.IsNum:
					v = c.Number
				case c.Text == "":
					v = nil
				}
				rows[i] = append(rows[i], member{s.Table.Columns[k].Key, v})
			}
		}
		o = append(o, member{"rows", rows})
	}
	for i := range s.Charts {
		c := &s.Charts[i]
		chart := object{{"title", Clean(c.Title.String())}, {"unit", c.Unit}, {"labels", cleaned(c.Labels)}, {"values", c.Values}}
		if c.Limits {
			chart = append(chart, member{"mean", c.Mean}, member{"upper", c.Upper}, member{"lower", c.Lower}, member{"signals", c.Flags})
		}
		o = append(o, member{"chart" + suffix(i), chart})
	}
	return o
}

func inEnglish(list []say.Sentence) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = s.String()
	}
	return out
}

func cleaned(list []string) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = Clean(s)
	}
	return out
}

func suffix(i int) string {
	if i == 0 {
		return ""
	}
	return "_" + Int(i+1).Text
}

// object is a JSON object whose members keep their order.
type object []member

type member struct {
	key   string
	value any
}

// MarshalJSON writes the members in their order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		key, err := json.Marshal(m.key)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(m.value)
		if err != nil {
			return nil, err
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}
