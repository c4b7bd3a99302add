package report

import "math"

// chartHigh is the height of a chart's field in millimetres.
const chartHigh = 38.0

// shortChart is the part of it that a short chart is high: the summary of a full day
// stays on one page.
const shortChart = 0.3

// chart draws a line or bars with the limits and marks. Nothing is told by colour
// alone: limits are dashed and named, signals are ringed, marks are numbered.
func (p *page) chart(c *Chart) {
	if len(c.Values) == 0 {
		return
	}
	high := chartHigh
	if c.Short {
		high *= shortChart
	}
	p.room(high + 14)
	p.f.Ln(1)
	p.size(8)
	title := Clean(c.Title.String())
	if c.Unit != "" {
		title += ", " + c.Unit
	}
	p.f.CellFormat(p.width, 4.5, p.fit(title, p.width), "", 2, "L", false, 0, "")
	g := p.grid(c, high)
	p.f.SetLineWidth(0.15)
	p.f.SetDrawColor(120, 120, 120)
	p.f.Rect(g.x, g.y, g.w, g.h, "D")
	p.limits(c, g)
	p.values(c, g)
	p.axis(c, g)
	p.f.SetXY(margin, g.y+g.h+5)
	for i, m := range c.Marks {
		p.size(7)
		p.paragraph(Int(i+1).Text + "  " + m.Text)
	}
	p.size(bodySize)
}

// grid is a chart's field and scale.
type grid struct {
	x, y, w, h float64
	low, high  float64
	step       float64
}

func (p *page) grid(c *Chart, high float64) grid {
	g := grid{x: margin + 14, y: p.f.GetY() + 3, w: p.width - 30, h: high, low: math.Inf(1), high: math.Inf(-1)}
	take := func(v float64) { g.low, g.high = min(g.low, v), max(g.high, v) }
	for _, v := range c.Values {
		take(v)
	}
	if c.Limits {
		take(c.Upper)
		take(c.Lower)
	}
	if c.Bars {
		take(0)
	}
	room := (g.high - g.low) * 0.08
	if room == 0 {
		room = max(math.Abs(g.high)*0.1, 1)
	}
	if g.low != 0 || !c.Bars {
		g.low -= room
	}
	g.high += room
	g.step = g.w / float64(len(c.Values))
	return g
}

func (g *grid) at(i int, v float64) (x, y float64) {
	return g.x + (float64(i)+0.5)*g.step, g.y + g.h*(g.high-v)/(g.high-g.low)
}

func (p *page) limits(c *Chart, g grid) {
	if !c.Limits {
		return
	}
	p.size(6)
	for _, l := range []struct {
		name string
		v    float64
		dash []float64
	}{{p.d.speaker().Say("head.upper"), c.Upper, []float64{1.5, 1}}, {p.d.speaker().Say("head.mean"), c.Mean, nil}, {p.d.speaker().Say("head.lower"), c.Lower, []float64{1.5, 1}}} {
		_, y := g.at(0, l.v)
		if l.dash != nil {
			p.f.SetDashPattern(l.dash, 0)
		}
		p.f.Line(g.x, y, g.x+g.w, y)
		p.f.SetDashPattern([]float64{}, 0)
		p.f.Text(g.x+g.w+1, y+0.8, l.name+" "+Number(l.v, 2).Text)
	}
}

func (p *page) values(c *Chart, g grid) {
	p.f.SetDrawColor(0, 0, 0)
	p.f.SetFillColor(90, 90, 90)
	p.f.SetLineWidth(0.3)
	for i, v := range c.Values {
		x, y := g.at(i, v)
		switch {
		case c.Bars:
			_, base := g.at(i, max(0, g.low))
			p.f.Rect(x-g.step*0.35, min(y, base), g.step*0.7, math.Abs(base-y), "F")
			continue
		case i > 0:
			px, py := g.at(i-1, c.Values[i-1])
			p.f.Line(px, py, x, y)
		}
		if len(c.Values) <= 120 {
			p.f.Circle(x, y, 0.5, "F")
		}
	}
	for _, i := range c.Flags {
		if i >= 0 && i < len(c.Values) {
			x, y := g.at(i, c.Values[i])
			p.f.Circle(x, y, 1.4, "D")
		}
	}
	p.size(6)
	for i, m := range c.Marks {
		x := g.x + float64(m.Before)*g.step
		p.f.SetDashPattern([]float64{0.5, 0.8}, 0)
		p.f.Line(x, g.y, x, g.y+g.h)
		p.f.SetDashPattern([]float64{}, 0)
		p.f.Text(x-0.6, g.y-0.6, Int(i+1).Text)
	}
}

func (p *page) axis(c *Chart, g grid) {
	p.size(6)
	for i := range 3 {
		v := g.low + (g.high-g.low)*float64(i)/2
		_, y := g.at(0, v)
		text := Number(v, 2).Text
		p.f.Text(g.x-1-p.f.GetStringWidth(text), y+0.8, text)
	}
	every := max(1, int(math.Ceil(float64(len(c.Labels))*16/g.w)))
	for i := 0; i < len(c.Labels) && i < len(c.Values); i += every {
		x, _ := g.at(i, c.Values[i])
		text := p.fit(Clean(c.Labels[i]), g.step*float64(every))
		p.f.Text(x-p.f.GetStringWidth(text)/2, g.y+g.h+2.8, text)
	}
}
