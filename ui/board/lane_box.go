package board

import (
	"strings"
	"unicode"

	"shedbell/ui/canvas"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

func (b *laneBox) drawTall(f *frame, r canvas.Region) {
	const x = 3
	mid := b.head / 2
	at, badge := x, ""
	nameRole := theme.Faint
	if b.i == f.bright {
		nameRole = theme.Text
	}
	badge, badgeRole := f.badge(b.i)
	if b.bigName && b.Person != "" {
		at += r.Sub(x, 0, r.W-x, b.head).Block(b.Person, 0, nameRole) + 3
	} else if b.Person != "" {
		at += r.Put(at, 1, theme.Strong, strings.ToUpper(b.Person)) + 2
	}
	if badge != "" {
		at += r.Put(at, 1, badgeRole, " "+badge+" ")
	}
	b.drawClock(f, r.Rows(0, b.head), at, mid)
	y := b.head
	rows := b.lineRows(f.env.Theme)
	for _, l := range b.now {
		line := r.Sub(x, y, r.W-x-1, rows)
		if rows == 6 {
			line = line.Rows(1, 5)
		}
		line.Block(l, b.look.size, b.nowRole(f))
		y += rows
	}
	next := min(len(b.Next), 1)
	say := b.said()
	if len(b.whole) <= r.H-y-next {
		say = b.whole
	}
	for _, l := range say {
		if y < r.H {
			r.Put(x, y, theme.Text, l)
			y++
		}
	}
	b.drawNext(f, r.Rows(y, r.H-y), x, true)
}

func (b *laneBox) drawFlat(f *frame, r canvas.Region) {
	badge, badgeRole := f.badge(b.i)
	c := b.clock
	if b.w < narrow { // the name and the clock over the text
		x := 2 + r.Put(2, 0, theme.Strong, strings.ToUpper(b.Person))
		if b.Person != "" {
			x++
		}
		if badge != "" {
			x += r.Put(x, 0, badgeRole, " "+badge+" ") + 1
		}
		if word := c.word + " " + c.text; c.text != "" && x+canvas.Width(word) < r.W {
			r.PutRight(r.W-1, 0, c.role, word)
		} else if x+canvas.Width(c.text) < r.W {
			r.PutRight(r.W-1, 0, c.role, c.text)
		}
		y := 1
		if r.H == 1 {
			r.Sub(x, 0, r.W-x-1-canvas.Width(c.text), 1).Put(0, 0, b.nowRole(f), b.do)
			return
		}
		y += r.Sub(2, 1, r.W-3, r.H-1).Wrapped(b.nowRole(f), sentences(b.do))
		r.Sub(2, y, r.W-3, r.H-y).Wrapped(theme.Text, sentences(b.lane.then))
		return
	}
	x := b.textX()
	name := theme.Text
	if b.i == f.bright {
		name = theme.Strong
	}
	r.Sub(2, 0, nameColumn-1, 1).Put(0, 0, name, strings.ToUpper(b.Person))
	if badge != "" {
		y := 1
		if b.Person == "" || r.H == 1 {
			y = 0
		}
		r.Sub(2, y, nameColumn-1, 1).Put(0, 0, badgeRole, strings.TrimPrefix(" "+badge+" ", strings.Repeat(" ", max(canvas.Width(badge)-6, 0))))
	}
	b.drawClock(f, r, x, 2)
	y := 0
	put := func(role theme.Role, lines []string) {
		for _, l := range lines {
			if y < r.H {
				r.Put(x, y, role, l)
			}
			y++
		}
	}
	put(b.nowRole(f), b.now)
	if room := r.H - y; len(b.then)+min(len(b.Next), 1) <= room || len(b.then) <= room && room > 1 {
		put(theme.Text, b.then)
	}
	if b.Now == nil && len(b.Next) == 0 || y >= r.H {
		return
	}
	room := r.W
	if r.H-y < 3 && y < 3 && b.look.clock >= 0 { // beside the clock
		room -= b.clockW(r) + 1
	}
	b.drawNext(f, r.Sub(0, y, room, r.H-y), x, false)
}

// drawClock draws the clock at the right, with its word beside it: the long one where
// there is room behind x.
func (b *laneBox) drawClock(f *frame, r canvas.Region, x, mid int) {
	c := b.clock
	if c.text == "" {
		return
	}
	size := b.look.clock
	if size == text || r.H < 3 {
		r.PutRight(r.W-1, 0, c.role, c.word+" "+c.text)
		return
	}
	w, h := r.BlockSize(c.text, size)
	at := r.W - w - 1
	if c.drawn == theme.Urgent || c.drawn == theme.Alert {
		r.Sub(at-1, 0, w+2, h).Fill(c.drawn, " ")
	}
	role := c.drawn
	if role == theme.Strong && b.i != f.bright {
		role = theme.Text
	}
	r.Sub(at, 0, w, h).Block(c.text, size, role)
	word := c.word
	if b.look.tall && at-3-canvas.Width(c.long) > x+2 {
		word = c.long
	}
	r.PutRight(at-2, min(mid, h-1), c.role, word)
}

// soonest is what comes first for somebody who is free.
func (f *frame) soonest(l *lane) string {
	return f.t.TimeOfDay(l.Next[0].At, "") + " " + lowerFirst(f.t.Brief(f.s, &l.Next[0]))
}

// drawNext lists what follows, with its time.
func (b *laneBox) drawNext(f *frame, r canvas.Region, x int, left bool) {
	n := min(len(b.Next), r.H, mostNext)
	from := 0
	if left {
		from = r.H - n // at the lane's foot
	}
	for i := range n {
		p := &b.Next[i]
		label := f.t.Say("lane.next") + " "
		role := theme.Text
		if i > 0 {
			label, role = strings.Repeat(" ", canvas.Width(label)), theme.Faint
		}
		at := x + r.Put(x, from+i, theme.Faint, label)
		at += r.Put(at, from+i, role, f.t.TimeOfDay(p.At, "")) + 2
		end := r.W - 1
		if in := f.t.Say("when.in", words.Left(p.At.Sub(f.env.Now))); i == 0 && left && p.At.After(f.env.Now) && end-canvas.Width(in)-2 > at+20 {
			r.PutRight(end, from+i, theme.Text, in)
			end -= canvas.Width(in) + 2
		}
		r.Sub(at, from+i, end-at, 1).Put(0, 0, role, lowerFirst(f.t.Brief(f.s, p)))
	}
}

// sentences joins texts into sentences.
func sentences(texts ...string) string {
	var out []string
	for _, t := range texts {
		if t = strings.TrimSpace(t); t == "" {
			continue
		}
		if !strings.ContainsAny(t[len(t)-1:], ".?!:") {
			t += "."
		}
		r := []rune(t)
		r[0] = unicode.ToUpper(r[0])
		out = append(out, string(r))
	}
	return strings.Join(out, " ")
}

// lowerFirst makes a sentence go on behind something, unless a batch begins it.
func lowerFirst(s string) string {
	r := []rune(s)
	if len(r) > 1 && unicode.IsLower(r[1]) {
		r[0] = unicode.ToLower(r[0])
	}
	return string(r)
}
