package form

import (
	"fmt"
	"math"
	"strings"

	"shedbell/ui/canvas"
	"shedbell/ui/theme"
)

// cell is a field with its unit.
func (p *pen) cell(r *row, here bool) spans {
	switch {
	case r.Kind == Choice || r.Kind == YesNo:
		return p.choice(r, r.parts[0], here)
	case here:
		return p.typing(r)
	}
	f := p.f
	if r.Kind == Text {
		return p.kept(r.parts[0].text(), r.preset(f).text)
	}
	v, fault := r.number(f)
	text, preset := "", ""
	switch {
	case fault != "":
		text = p.raw(r)
	case v.known && r.empty():
		preset = f.show(&r.Row, v.number, math.Round)
	case v.known:
		text = f.show(&r.Row, v.number, nearly)
	}
	out := p.kept(text, preset)
	if len(r.Units) > 1 {
		out = append(out, span{theme.Text, " " + r.parts[1].choices[max(0, r.parts[1].pick)]})
	}
	return out
}

// raw is what was typed, where that is no answer yet.
func (p *pen) raw(r *row) string {
	var out []string
	for i, part := range r.parts {
		if text := part.text(); text != "" && !part.chooses() {
			out = append(out, strings.TrimSpace(text+" "+p.unit(r, i)))
		}
	}
	return strings.Join(out, " ")
}

// kept is a field that is not typed into: what was typed, or in brackets what is
// taken otherwise.
func (p *pen) kept(text, preset string) spans {
	switch {
	case text != "":
		return spans{{theme.Strong, " " + text}}
	case preset != "":
		return spans{{theme.Text, "(" + preset + ")"}}
	}
	return spans{{theme.Faint, " " + p.theme.Glyphs.Dot}}
}

// typing is the row at hand, its parts with their units.
func (p *pen) typing(r *row) spans {
	f := p.f
	var out spans
	for i, part := range r.parts {
		if part.choices != nil {
			if i == f.part {
				out = append(out, span{theme.Text, " " + f.words.Say("form.unit")})
			}
			out = append(out, p.choice(r, part, i == f.part)...)
			continue
		}
		unit := ""
		if !part.letters {
			unit = p.unit(r, i)
		}
		if i > 0 {
			out = append(out, span{theme.Text, " "})
		}
		text := part.text()
		switch {
		case i == f.part:
			out = append(out, p.edited(part))
		case text == "":
			out = append(out, span{theme.Faint, " " + p.theme.Glyphs.Dot + " "})
		default:
			out = append(out, span{theme.Strong, " " + text + " "})
		}
		if unit != "" {
			out = append(out, span{theme.Text, " " + unit})
		}
	}
	return out
}

func (p *pen) unit(r *row, part int) string {
	switch r.Kind {
	case Duration:
		return p.f.words.Say("form.min-sec")
	case TimeOfDay:
		return p.f.words.Say("form.hhmm")
	}
	return p.f.units(&r.Row)[part].name
}

// edited is a part with its cursor, as much of it as there is room for; marked as a
// whole where what is typed replaces it.
func (p *pen) edited(part *part) span {
	text, cursor := []rune(part.text()), part.in.Position()
	if part.marked {
		return span{theme.Action, "[" + string(text) + "]"}
	}
	left, right := string(text[:cursor]), string(text[cursor:])
	room := max(p.width-margin-p.labelW-4, 8)
	for canvas.Width(left) > room {
		left = left[len(string([]rune(left)[:1])):]
	}
	return span{theme.Strong, "[" + left + p.theme.Glyphs.Cursor + canvas.Cut(right, room-canvas.Width(left), "") + "]"}
}

// choice is a choice on its line: all of them with their digits where it is at hand
// and they fit, else what is chosen.
func (p *pen) choice(r *row, part *part, here bool) spans {
	if part.letters {
		if here {
			return spans{p.edited(part)}
		}
		return p.kept(part.text(), "")
	}
	pick, chosen := part.pick, ""
	if r.parts[0] == part {
		pick = r.picked(p.f)
	}
	if pick >= 0 && pick < len(part.choices) {
		chosen = part.choices[pick]
	}
	switch {
	case !here && part.pick < 0:
		return p.kept("", chosen)
	case !here:
		return p.kept(chosen, "")
	}
	if all := p.inline(part, pick); margin+p.labelW+1+all.width() <= p.width {
		return all
	}
	return nil // listed below
}

func (p *pen) inline(part *part, pick int) (out spans) {
	for i := range part.count() {
		out = append(out, p.numbered(part, i, pick)...)
		if i != pick {
			out = append(out, span{theme.Text, " "}) // where the chosen one has its bracket
		}
		out = append(out, span{theme.Text, " "})
	}
	return out
}

func (p *pen) numbered(part *part, i, pick int) spans {
	text := part.own
	if i < len(part.choices) {
		text = part.choices[i]
	}
	if i == pick {
		return spans{{theme.Strong, fmt.Sprintf("[%d %s]", i+1, text)}}
	}
	return spans{{theme.Strong, fmt.Sprintf(" %d", i+1)}, {theme.Text, " " + text}}
}
