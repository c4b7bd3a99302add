package powerui

import (
	"math"
	"strings"

	"shedbell/ui/canvas"
	"shedbell/ui/theme"
)

// axisWidth is what the amperes at the left of a chart take.
const axisWidth = 7

// drawChart draws a circuit's last hour: from the bottom up to the limit what ran,
// above the limit, in the uppermost row, what only a start reached.
func drawChart(r canvas.Region, cols []level, limitA float64) {
	if r.H < 2 || limitA <= 0 {
		return
	}
	g := r.Theme().Glyphs
	ramp := strings.Split(g.Ramp, "")
	full := r.H - 1 // rows that reach the limit
	eighths := func(amps float64) int { return int(math.Round(amps / limitA * float64(full*len(ramp)))) }
	r.Put(0, 0, theme.Faint, strings.Repeat(g.Rule, r.W))
	for x, c := range cols {
		if !c.known {
			continue
		}
		n, peak := eighths(c.running), eighths(c.peak)
		if c.running > 0 {
			n = max(n, 1)
		}
		for k := range r.H {
			y := r.H - 1 - k
			part := min(max(n-k*len(ramp), 0), len(ramp))
			switch {
			case part > 0:
				r.Put(x, y, theme.Bar, ramp[part-1])
			case c.peak > c.running && peak > k*len(ramp):
				r.Put(x, y, theme.Surge, g.Start)
			case k == 0:
				r.Put(x, y, theme.Faint, g.Dot)
			}
		}
	}
}

// drawSpark is the chart in one row: heights below the limit, and the glyph of a
// starting machine where the current passed the limit.
func drawSpark(r canvas.Region, cols []level, limitA float64) {
	if r.H < 1 || limitA <= 0 {
		return
	}
	g := r.Theme().Glyphs
	ramp := strings.Split(g.Ramp, "")
	for x, c := range cols {
		switch {
		case !c.known:
		case c.peak > limitA:
			r.Put(x, 0, theme.Surge, g.Start)
		case c.running > 0:
			n := int(math.Ceil(c.running / limitA * float64(len(ramp))))
			r.Put(x, 0, theme.Bar, ramp[min(max(n, 1), len(ramp))-1])
		default:
			r.Put(x, 0, theme.Faint, g.Dot)
		}
	}
}
