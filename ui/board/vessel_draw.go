package board

import (
	"math"
	"strconv"
	"strings"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// lineOf is a line of text in a vessel.
type lineOf struct {
	role theme.Role
	text string
}

// drawVessel draws what stands in one slot: its name, its clock as large as it fits, what
// it does, who does it, and on the floor a bar that fills.
func (f *frame) drawVessel(r canvas.Region, v *vessel) {
	if v.What == "" || v.State == words.Broken {
		f.drawFree(r, v)
		return
	}
	pad := 0
	if r.W >= 12 {
		pad = 1
	}
	w := r.W - 2*pad
	_, _, title, body := f.look(v)
	bars := 1
	if f.h >= hugeFromH {
		bars = 2
	}
	hasBar := v.State != words.Loaded && v.State != words.Waits && r.H >= 4
	text := r.Sub(pad, 0, w, r.H)
	if hasBar {
		text = text.Rows(0, r.H-bars)
	}
	f.drawVesselText(text, v, body, title)
	if !hasBar {
		return
	}
	kind := f.s.Site.Stations[v.at.Station].Kind
	if kind == line.Wash || kind == line.Spin || kind == line.TrayWash {
		f.tint(r.Rows(0, r.H-bars), v)
	}
	for i := range bars {
		f.bar(r.Rows(r.H-1-i, 1), v)
	}
}

// drawVesselText draws what is in a vessel, what goes on, and who does it.
func (f *frame) drawVesselText(text canvas.Region, v *vessel, body, title theme.Role) {
	w := text.W
	name, trays := f.label(v, w), ""
	if v.Trays > 0 {
		trays = f.t.Trays(v.Trays)
	}
	nameRole := theme.Strong
	if v.crop != "" {
		nameRole = f.Role(v.crop, theme.Word)
	}
	y := 0
	if canvas.Width(name)+canvas.Width(trays)+1 <= w && f.h >= 46 && v.crop != "" {
		text.PutRight(w, y, theme.Text, trays)
		trays = ""
	}
	if v.crop != "" || text.H > 3 { // work without a batch is told by its station
		text.Put(0, y, nameRole, name)
		y++
	} else if state := strings.TrimSpace(f.doing(v) + " " + v.time()); canvas.Width(state)+canvas.Width(trays)+1 <= w {
		text.PutRight(w, y, theme.Text, trays)
		trays = ""
	}
	used := f.drawTimes(text.Rows(y, text.H-y), v, body, title, &trays)
	if y += used; trays != "" && y < text.H {
		text.Put(0, y, theme.Faint, trays)
		y++
	}
	for _, l := range f.more(v) {
		if y < text.H && canvas.Width(l.text) <= w {
			text.Put(0, y, l.role, l.text)
			y++
		}
	}
	if v.by != "" && y < text.H-1 && canvas.Width(v.by) <= w {
		text.Put(0, text.H-1, theme.Text, v.by)
	}
}

// drawTimes draws what a vessel does and its clock: as digits where they fit beside
// everything else, else as text. It returns the rows used.
func (f *frame) drawTimes(r canvas.Region, v *vessel, role, title theme.Role, trays *string) int {
	word, text := f.doing(v), v.time()
	extra := 1 // the word's row
	if *trays != "" {
		extra++
	}
	if v.rings() && text != "" {
		for size := 2; size >= 0; size-- {
			w, h := r.BlockSize(text, size)
			gap := 0
			if r.H-h-extra >= 4 {
				gap = 1
			}
			if w+2 > r.W || h+extra+gap > r.H || size == 2 && f.h < hugeFromH || size == 1 && f.h < 30 {
				continue
			}
			digits := role
			if title == theme.Urgent || title == theme.Alert {
				digits = title
				r.Sub(0, gap, w+2, h).Fill(digits, " ")
			}
			r.Sub(1, gap, w, h).Block(text, size, digits)
			if *trays != "" {
				r.Put(0, gap+h, theme.Text, *trays)
				*trays = ""
				r.Put(0, gap+h+1, role, word)
				return gap + h + 2
			}
			r.Put(0, gap+h, role, word)
			return gap + h + 1
		}
	}
	if both := strings.TrimSpace(word + " " + text); canvas.Width(both) <= r.W || text == "" {
		r.Put(0, 0, role, both)
		return 1
	}
	if canvas.Width(word) > r.W { // the short form of a long word
		if s := f.t.SlotShort(v.Slot); v.rings() || canvas.Width(s) > r.W {
			r.Put(0, 0, role, text)
			return 1
		} else if s = strings.TrimSuffix(s, text); true {
			word = strings.TrimSpace(s)
		}
	}
	r.Put(0, 0, role, word)
	r.Put(0, 1, role, text)
	return 2
}

// more is what else a vessel says, the most useful first.
func (f *frame) more(v *vessel) []lineOf {
	var out []lineOf
	switch v.State {
	case words.Running:
		out = append(out, lineOf{theme.Faint, f.t.Say("vessel.of", words.Clock(v.of))})
	case words.ByHand:
		if v.of > 0 {
			out = append(out, lineOf{theme.Faint, f.t.Say("vessel.about", words.Clock(v.of))})
		}
		if w := f.waitingFor(v.at.Station); w != "" {
			out = append(out, lineOf{theme.Faint, w})
		}
	case words.WaitsWet:
		if v.limit > 0 {
			out = append(out, lineOf{theme.Text, f.t.Say("vessel.of", words.Clock(v.limit))})
		}
	case words.Due:
		if l := v.step.Load; l != line.NoLoad && f.s.Power.Loads[l].On {
			out = append(out, lineOf{theme.Text, f.t.Say("vessel.on", f.t.Load(f.s.Site.Panel.Loads[l].Name))})
		}
	case words.Ask:
		out = append(out, lineOf{theme.Text, f.t.Say("vessel.ask")})
	}
	return out
}

// drawFree draws an empty slot: out of use, or free with what comes next.
func (f *frame) drawFree(r canvas.Region, v *vessel) {
	if v.State == words.Broken {
		hatch := f.env.Theme.Glyphs.Hatch
		for y := range r.H {
			for x := (r.H - y) % 4; x < r.W; x += 4 {
				r.Put(x, y, theme.Rule, hatch)
			}
		}
		lines := []string{f.t.Say("vessel.broken")}
		if v.What != "" {
			lines = append(lines, f.label(v, r.W-1))
		}
		if t, ok := f.s.OutOfUse(v.at); ok {
			lines = append(lines, v.Why, f.t.Say("vessel.since", f.t.TimeOfDay(t.Since, "")))
		}
		for y, l := range lines {
			x := min(1, max(r.W-canvas.Width(l), 0))
			if y < r.H {
				r.Put(x, y, theme.Text, l)
				r.Put(x+canvas.Width(l), y, theme.Text, strings.Repeat(" ", min(1, max(r.W-x-canvas.Width(l), 0))))
			}
		}
		return
	}
	pad := 0
	if r.W >= 12 {
		pad = 1
	}
	r = r.Sub(pad, 0, r.W-2*pad, r.H)
	r.Put(0, 0, theme.Faint, f.t.Say("slot.free"))
	if b := f.next(v.at.Station); b != nil && r.H > 1 {
		if text := f.t.Say("vessel.is-next", f.batchName(b, 99)); canvas.Width(text) <= r.W && f.h >= 46 {
			r.Put(0, 1, theme.Faint, text)
		} else if text := f.t.Say("vessel.next", f.batchName(b, 99)); canvas.Width(text) <= r.W {
			r.Put(0, 1, theme.Faint, text)
		} else if r.H > 2 {
			r.Put(0, 1, theme.Faint, strings.TrimSpace(f.t.Say("vessel.next", "")))
			r.Put(0, 2, theme.Faint, f.batchName(b, r.W))
		}
	}
	if w := f.waitingFor(v.at.Station); w != "" && r.H > 3 && canvas.Width(w) <= r.W {
		r.Put(0, 3, theme.Faint, w)
	}
}

// waitingFor says how many trays stand before the cutting table.
func (f *frame) waitingFor(station int) string {
	if f.s.Site.Stations[station].Kind != line.Cut {
		return ""
	}
	n := 0
	for i := range f.s.Batches {
		if f.s.Batches[i].Fate == line.Waiting {
			n += f.s.Batches[i].Trays
		}
	}
	if n == 0 {
		return ""
	}
	return f.t.Say("board.to-cut", n)
}

// tint fills a vessel behind its text as far as its step is done.
func (f *frame) tint(r canvas.Region, v *vessel) {
	rows := int(math.Round(min(v.Done, 1) * float64(r.H)))
	if rows == 0 || v.crop == "" {
		return
	}
	word := f.Role(v.crop, theme.Word)
	r.Rows(r.H-rows, rows).Restyle(func(role theme.Role) theme.Role {
		switch role {
		case theme.Text, theme.Faint:
			return f.Role(v.crop, theme.Tint)
		case theme.Strong, theme.Soon, theme.Refuse:
			return f.Role(v.crop, theme.TintStrong)
		case word:
			return f.Role(v.crop, theme.TintWord)
		}
		return role
	})
}

// bar draws how much of a step is over in parts of a cell, in its crop's colour; over its
// time it is full.
func (f *frame) bar(r canvas.Region, v *vessel) {
	g, t := f.env.Theme.Glyphs, f.env.Theme
	full, grain, glyph, rest := theme.Calm, theme.Calm, g.Full, g.Left
	if t.Colour && v.crop != "" {
		full, grain, glyph = f.Role(v.crop, theme.Fill), f.Role(v.crop, theme.Grain), " "
	}
	switch {
	case v.level == now:
		if full, glyph = theme.Urgent, " "; t.Plain {
			glyph = g.Full
		}
	case v.State == words.WaitsWet:
		rest = g.Dot
		if !t.Colour {
			glyph = g.Start
		}
	}
	drawBar(r, v.Done, full, grain, glyph, rest)
}

// drawBar fills a row: the library's bar is a string of one colour, and cannot end in a
// part of a cell.
func drawBar(r canvas.Region, done float64, full, grain theme.Role, glyph, rest string) {
	parts := r.Theme().Glyphs.Parts
	steps := len(parts) + 1
	n := int(math.Round(min(max(done, 0), 1) * float64(r.W*steps)))
	x := r.Put(0, 0, full, strings.Repeat(glyph, n/steps))
	if part := n % steps; part > 0 {
		x += r.Put(x, 0, grain, parts[part-1])
	}
	r.Put(x, 0, theme.Rule, strings.Repeat(rest, r.W-x))
}

// drawWaiting draws a station of the clean-up that nobody works at.
func (f *frame) drawWaiting(r canvas.Region, station int) {
	pad := 1
	text, role := f.waitingThere(f.s.Site.Stations[station].Kind)
	r.Sub(pad, 0, r.W-pad, 1).Put(0, 0, role, text)
	if at := f.starts(station); !at.IsZero() && r.H > 1 {
		r.Sub(pad, 1, r.W-pad, 1).Put(0, 0, theme.Faint, f.t.Say("vessel.planned", f.t.TimeOfDay(at, "")))
	}
}

// drawList lists the vessels where there is no room to draw them, the nearest clock first
// and the free ones in one row.
func (f *frame) drawList(r canvas.Region) {
	var all []vessel
	var free []string
	for i := range f.s.Site.Stations {
		var letters string
		n := 0
		for _, at := range f.places(i) {
			v := f.vessel(at)
			switch {
			case v.What != "" || v.State == words.Broken:
				all = append(all, v)
			case f.s.Site.Stations[i].Kind != line.Chill:
				letters += " " + line.SlotLetter(at.Slot)
				n++
			}
		}
		if name := strconv.Itoa(i+1) + " " + f.title(i); n > 0 && f.s.Site.Stations[i].Slots > 1 {
			free = append(free, name+letters)
		} else if n > 0 {
			free = append(free, name)
		}
	}
	nearest(all)
	rows := len(all)
	if rows > r.H-1 && r.H > 0 {
		rows = r.H - 1
	}
	for y := range rows {
		f.drawListRow(r.Rows(y, 1), &all[y])
	}
	switch {
	case r.H == 0:
	case rows < len(all):
		r.Put(1, rows, theme.Faint, f.t.Say("board.more", len(all)-rows))
	case len(free) > 0:
		text := f.t.Say("vessel.free-list", "")
		room := r.W - 3
		for i, part := range free {
			if i > 0 {
				text += ", "
			}
			if canvas.Width(text+part)+2 > room {
				text = strings.TrimSuffix(text, " ") + " " + f.env.Theme.Glyphs.Ellipsis
				break
			}
			text += part
		}
		r.Put(2, rows, theme.Faint, text)
	}
}

func (f *frame) drawListRow(r canvas.Region, v *vessel) {
	_, _, title, body := f.look(v)
	place := strconv.Itoa(v.at.Station+1) + " " + f.title(v.at.Station)
	if f.s.Site.Stations[v.at.Station].Slots > 1 {
		place += " " + line.SlotLetter(v.at.Slot)
	}
	placeRole := theme.Text
	if f.env.Focus.Set && f.env.Focus.Place == v.at {
		placeRole = theme.Chosen
	}
	state := strings.TrimSpace(f.doing(v) + " " + v.time())
	if v.level == now && title == theme.Urgent {
		state, body = " "+state+" ", theme.Urgent
	}
	barW := 0
	if r.W >= 56 && v.Done > 0 {
		barW = r.W - 41
	}
	end := r.W - 1 - barW
	if barW > 0 {
		f.bar(r.Sub(end, 0, barW, 1), v)
		end--
	}
	at := end - canvas.Width(state)
	if at < 4 {
		state = v.time()
		at = end - canvas.Width(state)
	}
	r.Put(at, 0, body, state)
	x := 2
	if r.W < narrow {
		x = 1
	}
	placeW := min(12, at-x)
	x += max(r.Sub(x, 0, at-x-1, 1).Put(0, 0, placeRole, place)+1, placeW)
	name := f.label(v, max(at-x-1, 3))
	role := theme.Text
	if v.crop != "" {
		role = f.Role(v.crop, theme.Word)
	}
	if x+canvas.Width(name) < at {
		r.Put(x, 0, role, name)
	}
}
