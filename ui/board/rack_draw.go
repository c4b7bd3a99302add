package board

import (
	"math"
	"strings"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// drawRack draws a station of many slots: a row each, with its bar behind or as the shelf
// below it, or with drawn clocks where there is room. Those that do not fit are named
// together, the nearest clocks first.
func (f *frame) drawRack(frame, r canvas.Region, station int) {
	st := &f.s.Site.Stations[station]
	if st.Load != line.NoLoad {
		l := f.s.Site.Panel.Loads[st.Load]
		state := f.t.Say("vessel.fans-off")
		if p := f.s.Power.Loads[st.Load]; p.On && len(l.Settings) > 1 {
			state = f.t.Say("vessel.fans", f.t.Setting(l.Settings[p.Setting].Name))
		}
		if canvas.Width(state)+canvas.Width(f.title(station))+10 <= frame.W && len(l.Settings) > 1 {
			frame.PutRight(frame.W-2, 0, theme.Faint, " "+state+" ")
		}
	}
	var all []vessel
	used := 0
	for _, at := range f.places(station) {
		v := f.vessel(at)
		if v.What != "" {
			used++
		}
		all = append(all, v)
	}
	if used == 0 && r.H < len(all) {
		r.Put(1, 0, theme.Faint, f.t.Say("vessel.all-free", len(all)))
		return
	}
	rows := r.H / max(len(all), 1)
	if rows == 0 {
		rows = 1
		nearest(all)
		if r.H-1 < used {
			used = r.H - 1
		}
		rest := len(all) - max(r.H-1, 0)
		all = all[:max(r.H-1, 0)]
		r.Put(1, r.H-1, theme.Faint, f.t.Say("board.more", rest))
	} else {
		rows = min(rows, 4)
	}
	y := 0
	for i := range all {
		h := rows
		if big := 3; rows == 2 && all[i].What != "" && used*big+(len(all)-used) <= r.H && r.W >= 40 {
			h = big
		}
		f.drawShelf(r.Rows(y, h), &all[i], i == len(all)-1 && y+h >= r.H)
		y += h
	}
}

// drawShelf draws one slot of a rack.
func (f *frame) drawShelf(r canvas.Region, v *vessel, last bool) {
	_, _, _, body := f.look(v)
	letter := theme.Faint
	if v.What != "" {
		letter = theme.Strong
	}
	if f.env.Focus.Set && f.env.Focus.Place == v.at {
		letter = theme.Chosen
	}
	pad := 0
	if r.W >= 24 {
		pad = 1
	}
	r = r.Sub(pad, 0, r.W-2*pad, r.H)
	x := r.Put(0, 0, letter, line.SlotLetter(v.at.Slot)) + 1
	g := f.env.Theme.Glyphs
	if v.What == "" {
		role := theme.Faint
		r.Put(x, 0, role, f.doing(v))
		if r.H >= 2 && !last {
			r.Put(0, r.H-1, theme.Rule, strings.Repeat(g.ShelfLeft, r.W))
		}
		return
	}
	clock := f.shelfClock(v)
	end := r.W
	drawn := false
	if w, h := r.BlockSize(v.time(), 0); v.rings() && h <= r.H && w+22 <= r.W && r.H >= 3 {
		role := body
		if v.level == now {
			role = theme.Urgent
		}
		r.Sub(r.W-w, 0, w, h).Block(v.time(), 0, role)
		end, drawn = r.W-w-2, true
	} else {
		if v.time() != "" && canvas.Width(clock)+1+canvas.Width(f.label(v, 99)) > r.W-x {
			clock = v.time() // the name is in capitals where it needs somebody
		}
		r.PutRight(r.W, 0, body, clock)
		end -= canvas.Width(clock) + 1
	}
	name := f.label(v, end-x)
	x += r.Put(x, 0, f.Role(v.crop, theme.Word), name) + 2
	if trays := f.t.Trays(v.Trays); x+canvas.Width(trays) <= end && r.H >= 2 {
		at := max(x, min(r.W/2-4, end-canvas.Width(trays)))
		x = at + r.Put(at, 0, theme.Faint, trays) + 1
	}
	switch {
	case drawn:
		word := f.doing(v)
		if at, ok := v.step.DueAt(); ok && v.State == words.Running {
			word += ", " + f.t.Say("vessel.off", f.t.TimeOfDay(at, ""))
		}
		r.Sub(2, 1, end-2, 1).Put(0, 0, theme.Text, word)
		f.bar(r.Sub(2, 2, end-2, 1), v)
	case r.H >= 2:
		full := f.Role(v.crop, theme.Grain)
		n := int(math.Round(min(v.Done, 1) * float64(r.W)))
		at := r.Put(0, r.H-1, full, strings.Repeat(g.Shelf, n))
		r.Put(at, r.H-1, theme.Rule, strings.Repeat(g.ShelfLeft, r.W-at))
	default:
		if room := end - x + 1; room >= 2 && v.Done > 0 {
			f.bar(r.Sub(x-1, 0, room, 1), v)
		}
	}
}

// shelfClock is a slot's time with a word where it is no countdown.
func (f *frame) shelfClock(v *vessel) string {
	if v.State == words.Running && !v.last {
		return v.time()
	}
	if v.rings() {
		return f.doing(v) + " " + v.time()
	}
	return f.t.SlotShort(v.Slot)
}

// drawCold draws what is in the fridge.
func (f *frame) drawCold(r canvas.Region) {
	cold, all := screen.ColdTrays(f.s)
	var grams float64
	packs := 0
	for i := range f.s.Batches {
		if f.s.Batches[i].Fate == line.Cold {
			grams += f.s.Batches[i].NetG
			packs += f.s.Batches[i].Packages
		}
	}
	pad := 0
	if r.W >= 11 {
		pad = 1
	}
	r = r.Sub(pad, 0, r.W-pad, r.H)
	of := f.t.Say("vessel.n-of", cold, all)
	if all == 0 {
		of = f.t.Trays(cold)
	}
	lines := []lineOf{{theme.Calm, of}, {theme.Calm, f.t.Say("vessel.cold")}}
	if packs > 0 {
		lines = append(lines, lineOf{theme.Faint, f.t.Packs(packs)}, lineOf{theme.Faint, f.t.Weight(grams)})
	}
	for y, l := range lines {
		if y < r.H {
			r.Put(0, y, l.role, l.text)
		}
	}
}
