package form

import (
	"math"
	"strings"

	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// span is text with its look; a line of the form has several.
type span struct {
	role theme.Role
	text string
}

type spans []span

func (l spans) width() (w int) {
	for _, s := range l {
		w += canvas.Width(s.text)
	}
	return w
}

func (l spans) draw(r canvas.Region) {
	x := 0
	for _, s := range l {
		x += r.Put(x, 0, s.role, s.text)
	}
}

// margin is the room for the mark of the row at hand.
const margin = 2

// Draw draws the form from the top of the region and returns how many rows it took.
// Where it has not enough of them it scrolls with the row at hand.
func (f *Form) Draw(env *screen.Env, r canvas.Region) int {
	f.words = env.Words
	if r.H <= 0 || r.W <= 0 {
		return 0
	}
	f.shown = true
	top := f.drawHead(r)
	body := r.Rows(top, r.H-top)
	if f.waits != "" {
		return top + body.Inset(margin, 0).Wrapped(theme.Text, strings.TrimSpace(f.words.Say(f.waits)+" "+f.told))
	}
	p := pen{f: f, theme: r.Theme(), width: r.W}
	lines, from, to := p.all(body.H)
	first := 0
	if len(lines) > body.H {
		first = max(0, min(from-max(0, body.H-(to-from))/2, len(lines)-body.H))
	}
	lines = lines[first:]
	cut := len(lines) > body.H
	if cut {
		lines = lines[:body.H]
	}
	for y, l := range lines {
		l.draw(body.Rows(y, 1))
	}
	if first > 0 && from > first {
		body.PutRight(body.W-1, 0, theme.Faint, f.words.Say("form.more-above"))
	}
	if cut && to < first+body.H {
		body.PutRight(body.W-1, body.H-1, theme.Faint, f.words.Say("form.more-below"))
	}
	return top + len(lines)
}

// drawHead draws the title and the reason, as far as that leaves room for the rows.
func (f *Form) drawHead(r canvas.Region) int {
	y := 0
	const least = 2
	if f.Title != "" && r.H > 1 {
		y = r.Inset(1, 0).Rows(0, max(1, r.H-least)).Wrapped(theme.Action, " "+f.words.Say(f.Title)+" ")
	}
	if f.Why != "" && r.H-y > least {
		text := f.words.Say(f.Why)
		y += r.Sub(margin, y, r.W-margin-1, r.H-y-least).Wrapped(theme.Text, text)
	}
	if y > 0 && r.H-y > 2*least+len(f.rows) {
		y++
	}
	return y
}

// pen lays the rows out in lines.
type pen struct {
	f      *Form
	theme  *theme.Theme
	width  int
	labelW int
	colW   []int
	height int
}

// mostBelow is the room that is kept for what is said below a row, so that the rows
// stay where they are when it is.
const mostBelow = 4

// all lays everything out; from and to are the lines of the row at hand.
func (p *pen) all(height int) (out []spans, from, to int) {
	f := p.f
	p.height = height
	rows := f.lines()
	at, _ := f.line(rows)
	for _, row := range rows {
		if r := f.rows[row[0]]; r.Kind != Send {
			p.labelW = max(p.labelW, canvas.Width(f.words.Say(r.Label)))
		}
		for col := range len(row) - 1 {
			if len(p.colW) <= col {
				p.colW = append(p.colW, 0)
			}
			p.colW[col] = max(p.colW[col], p.cell(f.rows[row[col]], row[col] == f.at).width())
		}
	}
	p.labelW = min(p.labelW, p.width/2)
	spread := 2*len(rows)+mostBelow <= height // an empty line between rows is read from afar
	for i, row := range rows {
		if spread && i > 0 {
			out = append(out, spans{})
		}
		if i == at {
			from = len(out)
		}
		out = append(out, p.row(row)...)
		if i == at {
			out = append(out, p.below()...)
			to = len(out)
		}
	}
	return out, from, to
}

func (p *pen) pad(text string, width int) string {
	return text + strings.Repeat(" ", max(0, width-canvas.Width(text)))
}

// row is one line of fields, with what stands below it of a choice that is listed.
func (p *pen) row(row []int) []spans {
	f := p.f
	r := f.rows[row[0]]
	var out spans
	if r.Kind == Send {
		return []spans{p.sends(r, row[0] == f.at)}
	}
	for col, i := range row {
		r, here := f.rows[i], i == f.at
		role, mark := theme.Text, "  "
		if here {
			role, mark = theme.Chosen, p.theme.Glyphs.Arrow+" "
		}
		label := f.words.Say(r.Label)
		if col == 0 {
			out = append(out, span{theme.Strong, mark}, span{role, label}, span{theme.Text, p.pad("", p.labelW-canvas.Width(label)+1)})
		} else {
			gap := p.colW[col-1] - p.cell(f.rows[row[col-1]], row[col-1] == f.at).width() + 1
			out = append(out, span{theme.Text, p.pad("", gap)}, span{theme.Strong, mark}, span{role, label}, span{theme.Text, " "})
		}
		if long := p.long(r, here); long != nil {
			return append([]spans{out}, long...)
		}
		out = append(out, p.cell(r, here)...)
	}
	return p.hinted(out, row)
}

// long is a text that is typed over several lines, where it has become too long for
// one.
func (p *pen) long(r *row, here bool) []spans {
	if !here || r.Kind != Text || canvas.Width(r.parts[0].text())+margin+p.labelW+4 <= p.width {
		return nil
	}
	part := r.parts[0]
	text, role := part.text(), theme.Action
	if !part.marked {
		at := part.in.Position()
		text, role = string([]rune(text)[:at])+p.theme.Glyphs.Cursor+string([]rune(text)[at:]), theme.Strong
	}
	return p.wrapped(role, "["+text+"]")
}

// hinted puts what Enter takes, or what a time means, behind the line or below it.
func (p *pen) hinted(l spans, row []int) []spans {
	f := p.f
	for _, i := range row {
		text := f.hint(f.rows[i])
		if i != f.at || text == "" {
			continue
		}
		if l.width()+2+canvas.Width(text) <= p.width {
			return []spans{append(l, span{theme.Text, "  " + text})}
		}
		return append([]spans{l}, p.wrapped(theme.Text, text)...)
	}
	return []spans{l}
}

func (f *Form) hint(r *row) string {
	v, fault := r.number(f)
	switch {
	case r.Kind == Text && r.parts[0].text() == "" && r.preset(f).text != "":
		return f.words.Say("form.takes", r.preset(f).text)
	case !r.Kind.isNumber() || !v.known || fault != "":
	case r.empty():
		return f.words.Say("form.takes", f.show(&r.Row, v.number, math.Round))
	case r.Kind == TimeOfDay:
		return "= " + f.show(&r.Row, v.number, math.Round)
	}
	if len(r.Units) > 1 && f.part == 0 && (!v.known || !r.empty()) {
		return f.words.Say("form.other-unit")
	}
	return ""
}

func (p *pen) sends(r *row, here bool) spans {
	text := p.f.words.Say(r.Label)
	if here {
		return spans{{theme.Strong, p.theme.Glyphs.Arrow}, {theme.Action, " " + p.f.words.Say("form.enter-sends", text) + " "}}
	}
	return spans{{theme.Text, "  " + text}}
}

// below is what stands under the row at hand: the choices that did not fit beside
// it, a note, and what the last key came to.
func (p *pen) below() (out []spans) {
	f := p.f
	r := f.rows[f.at]
	if part := f.now(); part != nil && part.chooses() {
		pick := part.pick
		if f.part == 0 {
			pick = r.picked(f)
		}
		if all := p.inline(part, pick); margin+p.labelW+1+all.width() > p.width {
			out = p.listed(part, pick)
		}
	}
	if r.Note != "" {
		out = append(out, p.wrapped(theme.Faint, f.words.Say(r.Note))...)
	}
	if f.told != "" {
		out = append(out, p.wrapped(theme.Text, f.told)...)
	}
	for _, text := range []string{r.fault, f.fault} {
		if text != "" {
			out = append(out, p.wrapped(theme.Refuse, text)...)
		}
	}
	return out
}

// listed has a choice on each line, as many as fit around the one that is marked.
func (p *pen) listed(part *part, pick int) (out []spans) {
	const others = 3
	n := part.count()
	room := p.height - len(p.f.lines())
	if n > room {
		room = max(p.height-others, others)
	}
	first := max(0, min(pick-room/2, n-room))
	for i := first; i < n && i < first+room; i++ {
		out = append(out, append(spans{{theme.Text, "   "}}, p.numbered(part, i, pick)...))
	}
	return out
}

func (p *pen) wrapped(role theme.Role, text string) (out []spans) {
	for _, row := range canvas.Wrap(text, p.width-margin-2) {
		out = append(out, spans{{theme.Text, "  "}, {role, row}})
	}
	return out
}
