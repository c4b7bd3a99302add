package board

import (
	"strconv"
	"strings"

	"github.com/charmbracelet/lipgloss"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// drawUpper draws the stations that greens pass, from left to right, wet to dry.
func (f *frame) drawUpper(r canvas.Region) { f.drawStations(r, true) }

// drawLower draws the stations of the clean-up, or names them in one row.
func (f *frame) drawLower(r canvas.Region) {
	if r.H >= 3 {
		f.drawStations(r, false)
		return
	}
	x := 1
	for i := range f.s.Site.Stations {
		st := &f.s.Site.Stations[i]
		if st.Kind.ForGreens() || r.H == 0 {
			continue
		}
		v := f.vessel(line.Place{Station: i})
		text, role := f.waitingThere(st.Kind)
		if v.What != "" {
			text, role = strings.TrimSpace(f.doing(&v)+" "+v.time()), theme.Text
		} else if at := f.starts(i); !at.IsZero() {
			text += ", " + f.t.TimeOfDay(at, "")
		}
		title := strconv.Itoa(i+1) + " " + strings.ToUpper(f.title(i))
		if x+canvas.Width(title) >= r.W {
			return
		}
		x += r.Put(x, 0, f.chosen(i, theme.Strong), title) + 1
		if x+canvas.Width(text) < r.W {
			x += r.Put(x, 0, role, text) + 3
		}
	}
}

func (f *frame) chosen(station int, role theme.Role) theme.Role {
	if f.env.Focus.Set && f.env.Focus.Place.Station == station {
		return theme.Chosen
	}
	return role
}

func (f *frame) drawStations(r canvas.Region, greens bool) {
	var all []int
	shares := 0
	for i := range f.s.Site.Stations {
		if f.s.Site.Stations[i].Kind.ForGreens() == greens {
			all = append(all, i)
			shares += f.weight(i)
		}
	}
	given, at := 0, make([]int, len(all)+1)
	for i, station := range all {
		given += f.weight(station)
		at[i+1] = (given*r.W + shares/2) / max(shares, 1)
		if greens {
			f.narrowest(station, at[i+1]-at[i])
		}
	}
	for i, station := range all {
		f.drawStation(r.Cols(at[i], at[i+1]-at[i]), station)
	}
}

// narrowest has every batch called by the longest kind of name that fits in each vessel.
func (f *frame) narrowest(station, w int) {
	room := w - 2
	if room >= 12 {
		room -= 2
	}
	if f.s.Site.Stations[station].Slots > 1 {
		room -= 8
	}
	for _, at := range f.places(station) {
		if b, _ := f.s.Occupant(at); b != nil {
			for f.form < len(f.forms(b))-1 && canvas.Width(f.forms(b)[f.form]) > room {
				f.form++
			}
		}
	}
}

// weight is a station's share of the width.
func (f *frame) weight(station int) int {
	st := &f.s.Site.Stations[station]
	switch {
	case st.Kind == line.Chill:
		return 10
	case st.Slots > 1:
		return 20
	case st.Kind == line.Wash || st.Kind == line.Spin:
		return 13
	case !st.Kind.ForGreens() && f.s.StepAt(line.Place{Station: station}) != nil:
		return 18
	}
	return 12
}

// drawStation draws a station as the vessel that it is.
func (f *frame) drawStation(r canvas.Region, station int) {
	st := &f.s.Site.Stations[station]
	worst := f.vessel(line.Place{Station: station})
	if st.Slots > 1 {
		worst = vessel{Slot: words.Slot{State: words.Loaded}}
	}
	g := f.env.Theme.Glyphs
	border, edge, title, _ := f.look(&worst)
	o := outlines[st.Kind]
	switch {
	case st.Kind == line.Chill:
		border, edge, title = g.Double, theme.Edge, theme.Strong
	case st.Kind == line.TrayWash && worst.level == calm && worst.State != words.Due:
		border.Top, border.Bottom = g.Dashed.Top, g.Dashed.Bottom
	}
	if worst.What == "" && worst.State == words.Free && !st.Kind.ForGreens() {
		if _, role := f.waitingThere(st.Kind); role != theme.Faint {
			edge, title = theme.Edge, theme.Strong
		}
	}
	fill := theme.Role(0)
	if title == theme.Urgent {
		fill = theme.Urgent
	}
	r = f.frameOf(r, border, o, edge, fill)
	f.drawName(r, station, f.chosen(station, title), o.top)
	body := r.Sub(1, 1, r.W-2, r.H-2)
	if !o.floor {
		body = r.Sub(1, 1, r.W-2, r.H-1)
	}
	switch {
	case st.Kind == line.Chill:
		f.drawCold(body)
	case st.Slots > 1:
		f.drawRack(r, body, station)
	case worst.What == "" && !st.Kind.ForGreens():
		f.drawWaiting(body, station)
	default:
		f.drawVessel(body, &worst)
	}
}

// frameOf draws the outline. The library's borders have the shapes; it draws them around
// a block of text, while a vessel lacks sides by its kind and stands on cells.
func (f *frame) frameOf(r canvas.Region, b lipgloss.Border, o outline, role, floor theme.Role) canvas.Region {
	last := r.H - 1
	if o.top {
		r.Put(1, 0, role, strings.Repeat(b.Top, max(r.W-2, 0)))
	}
	if o.floor {
		r.Put(1, last, role, strings.Repeat(b.Bottom, max(r.W-2, 0)))
	}
	for y := range r.H {
		edge := o.top && y == 0 || o.floor && y == last
		if o.sides && !edge {
			r.Put(0, y, role, b.Left)
			r.Put(r.W-1, y, role, b.Right)
		}
	}
	if o.corners && o.top {
		r.Put(0, 0, role, b.TopLeft)
		r.Put(r.W-1, 0, role, b.TopRight)
	}
	if o.corners && o.floor {
		r.Put(0, last, role, b.BottomLeft)
		r.Put(r.W-1, last, role, b.BottomRight)
	}
	if !o.corners && o.sides {
		r.Put(0, 0, role, " ")
		r.Put(r.W-1, 0, role, " ")
	}
	return r
}

// drawName writes a station's number and name into its top, the longer name where it fits.
func (f *frame) drawName(r canvas.Region, station int, role theme.Role, line bool) {
	number := strconv.Itoa(station+1) + " "
	name := number + strings.ToUpper(f.title(station))
	x, room := 1, r.W-2
	if canvas.Width(name)+2 <= room {
		name = " " + name + " "
	} else if canvas.Width(name)+1 <= room {
		name = " " + name
	}
	r.Sub(x, 0, room, 1).Put(0, 0, role, name)
}
