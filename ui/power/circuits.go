package powerui

import (
	"fmt"

	"shedbell/power"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// gauge is a breaker pole with its outlook. Currents are in amperes.
type gauge struct {
	power.Outlook
	name    string
	circuit int     // -1 for a feeder's leg
	kept    float64 // part of AmpsA that is reserved
	open    bool
	dark    bool // its breaker is in, and there is no power
}

// gauges lists the circuits, then the legs of the feeders.
func gauges(env *screen.Env) []gauge {
	p, s := &env.State.Site.Panel, env.State.Power
	var out []gauge
	for c := range p.Circuits {
		out = append(out, gauge{Outlook: p.CircuitOutlook(s, c, env.Now), name: p.Circuits[c].Name, circuit: c,
			kept: p.Reserved(s, c, env.Now), open: s.Open(c) && !s.Dark(c), dark: s.Dark(c)})
	}
	for f := range p.Feeders {
		a, b := p.FeederOutlook(s, f, env.Now)
		name := p.Feeders[f].Name
		if !twoLegs(p, f) {
			out = append(out, gauge{Outlook: a, name: name, circuit: -1})
			continue
		}
		out = append(out, gauge{Outlook: a, name: env.Words.Say("power.leg-a", name), circuit: -1},
			gauge{Outlook: b, name: env.Words.Say("power.leg-b", name), circuit: -1})
	}
	return out
}

// twoLegs says whether the circuits of a feeder are told apart by leg.
func twoLegs(p *power.Panel, feeder int) bool {
	for i := range p.Circuits {
		if p.Circuits[i].Feeder == p.Feeders[feeder].Name && p.Circuits[i].Leg != power.LegNone {
			return true
		}
	}
	return false
}

// legCount is how many feeder bars there are.
func legCount(p *power.Panel) int {
	n := 0
	for f := range p.Feeders {
		if n++; twoLegs(p, f) {
			n++
		}
	}
	return n
}

func (g *gauge) figures(w *words.Speaker) string {
	switch {
	case g.dark:
		return w.Say("power.dark")
	case g.open:
		return w.Say("power.tripped")
	}
	return w.Say("power.amps", g.AmpsA, g.LimitA)
}

// room is the headroom in amperes.
func (g *gauge) room(w *words.Speaker) string {
	over := g.AmpsA - g.LimitA
	switch {
	case g.open:
		return w.Say("power.reset")
	case over > 0.05:
		return w.Say("power.over", over)
	}
	return w.Say("power.room", max(0, -over))
}

// starts says whether more flows than in the long run, because a machine has just
// started.
func (g *gauge) starts() bool { return g.StartA > 0.05 }

// holds is the headroom in time: how soon the quickest breaker may trip at what
// flows now.
func (g *gauge) holds(w *words.Speaker) string {
	switch {
	case g.open, g.dark:
		return ""
	case g.TripIn == power.Never:
		return w.Say("power.holds")
	case g.starts():
		return w.Say("power.stands", seconds(w, g.TripIn))
	}
	return w.Say("power.trips-in", seconds(w, g.TripIn))
}

// warmth is the thermal state.
func (g *gauge) warmth(w *words.Speaker) string { return w.Say("power.heat", 100*g.Heat) }

func (g *gauge) role() theme.Role {
	switch {
	case g.open || g.dark || g.AmpsA > g.LimitA:
		return theme.Urgent
	case g.TripIn != power.Never && !g.starts() || g.Heat > 0.9:
		return theme.Soon
	}
	return theme.Text
}

// Columns of a circuit's row after its bar.
const (
	figuresW = 13
	roomW    = 11
	heatW    = 9
	holdsW   = 15
	scale    = 1.5 // amperes at a bar's end, as a multiple of the limit
)

// drawCircuits draws every circuit and feeder leg. Where they do not all fit, the
// chosen circuit is among those that are shown.
func (v *View) drawCircuits(env *screen.Env, r canvas.Region, rows int) {
	all := gauges(env)
	chosen := v.circuit(env)
	nameW := 0
	for i := range all {
		nameW = max(nameW, canvas.Width(all[i].name))
	}
	nameW = min(nameW, max(8, r.W/5))
	heights := make([]int, len(all))
	for i := range all {
		heights[i] = 1
		if all[i].circuit >= 0 {
			heights[i] = rows
			if rows == 1 && i == chosen && r.H > 2 {
				heights[i] = 2
			}
		}
	}
	total := 0
	for _, h := range heights {
		total += h
	}
	room := r.H
	if total > room && room > heights[chosen] {
		room-- // for how many are left out
	}
	first, last := window(heights, chosen, room)
	y := 0
	for i := first; i < last; i++ {
		v.drawGauge(env, r.Rows(y, heights[i]), &all[i], nameW)
		y += heights[i]
	}
	if n := len(all) - (last - first); n > 0 && y < r.H {
		r.Put(1, y, theme.Faint, env.Words.Say("power.breakers", n))
	}
}

// window is the run of rows around the chosen one that fits into h.
func window(heights []int, chosen, h int) (first, last int) {
	if len(heights) == 0 {
		return 0, 0
	}
	first, last = chosen, chosen+1
	h -= heights[chosen]
	for grown := true; grown; {
		grown = false
		if last < len(heights) && heights[last] <= h {
			h, last, grown = h-heights[last], last+1, true
		}
		if first > 0 && heights[first-1] <= h {
			h, first, grown = h-heights[first-1], first-1, true
		}
	}
	return first, last
}

func (v *View) drawGauge(env *screen.Env, r canvas.Region, g *gauge, nameW int) {
	role := g.role()
	nameRole := theme.Text
	if g.circuit >= 0 && g.circuit == v.circuit(env) {
		nameRole = theme.Strong
	}
	r.Sub(1, 0, nameW, 1).Put(0, 0, nameRole, g.name)
	x := nameW + 2
	barW := r.W - x - figuresW - roomW - heatW - 2
	wide := barW-holdsW >= 20
	if wide {
		barW -= holdsW
	}
	if barW = min(barW, 60); barW >= 8 {
		canvas.AmpsBar(r.Sub(x, 0, barW, 1), canvas.Amps{Running: g.AmpsA - g.kept, Kept: g.kept, Start: g.StartA, Limit: g.LimitA, Scale: scale * g.LimitA})
	} else {
		barW = 0
	}
	at := x + barW
	r.Sub(at, 0, figuresW, 1).PutRight(figuresW, 0, role, g.figures(env.Words))
	at += figuresW + 2
	r.Sub(at, 0, roomW, 1).Put(0, 0, theme.Text, g.room(env.Words))
	at += roomW
	r.Sub(at, 0, heatW, 1).Put(0, 0, theme.Text, g.warmth(env.Words))
	if wide {
		r.Sub(at+heatW, 0, holdsW, 1).Put(0, 0, role, g.holds(env.Words))
	}
	switch {
	case g.circuit < 0 || r.H < 2:
	case r.H < chartFrom:
		v.drawLastHour(env, r.Rows(1, 1).Sub(x, 0, r.W-x-1, 1), g, wide)
	default:
		r.Put(1, 1, role, g.inFull(env.Words))
		v.drawHour(env, r.Rows(2, r.H-2), g)
	}
}

// chartFrom is how many rows a circuit takes before its last hour is a chart.
const chartFrom = 7

// inFull is heat and time to trip in a sentence.
func (g *gauge) inFull(w *words.Speaker) string {
	switch {
	case g.open:
		return w.Say("power.has-tripped")
	case g.TripIn == power.Never:
		return w.Say("power.has-heat-holds", 100*g.Heat)
	case g.starts():
		return w.Say("power.has-heat-stands", 100*g.Heat, seconds(w, g.TripIn))
	}
	return w.Say("power.has-heat-trips", 100*g.Heat, seconds(w, g.TripIn))
}

// drawLastHour draws the last hour in one row, with its name at the right.
func (v *View) drawLastHour(env *screen.Env, r canvas.Region, g *gauge, wide bool) {
	text := env.Words.Say("power.last-hour")
	if holds := g.holds(env.Words); !wide && holds != "" {
		text += ", " + holds
	}
	w := max(r.W-canvas.Width(text)-2, 8)
	cols := v.past.columns(env.Now, env.State.Site, w)
	drawSpark(r.Sub(0, 0, w, 1), column(cols, g.circuit), g.LimitA)
	r.Put(w+2, 0, theme.Faint, text)
}

// drawHour draws the chart of the last hour with its axes; the last row stays free.
func (v *View) drawHour(env *screen.Env, r canvas.Region, g *gauge) {
	w, h := r.W-axisWidth-2, r.H-2
	if w < 8 {
		return
	}
	cols := v.past.columns(env.Now, env.State.Site, w)
	drawChart(r.Sub(axisWidth, 0, w, h), column(cols, g.circuit), g.LimitA)
	r.PutRight(axisWidth-1, 0, theme.Faint, fmt.Sprintf("%.4g A", g.LimitA))
	r.PutRight(axisWidth-1, h-1, theme.Faint, "0")
	r.Put(axisWidth, h, theme.Faint, env.Words.TimeOfDay(env.Now.Add(-pastSpan), ""))
	half := env.Words.TimeOfDay(env.Now.Add(-pastSpan/2), "")
	r.Put(axisWidth+w/2-canvas.Width(half)/2, h, theme.Faint, half)
	r.PutRight(axisWidth+w, h, theme.Faint, env.Words.Say("power.now"))
}

func column(cols [][]level, circuit int) []level {
	out := make([]level, len(cols))
	for i := range cols {
		out[i] = cols[i][circuit]
	}
	return out
}
