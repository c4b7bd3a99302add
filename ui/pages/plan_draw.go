package pages

import (
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/plan"
	"shedbell/power"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// planAxis is the stretch of time that the width shows.
type planAxis struct {
	from  time.Time
	span  time.Duration
	nameW int
}

// chart is the part of a region that belongs to the axis.
func (a planAxis) chart(r canvas.Region) canvas.Region { return r.Cols(a.nameW+1, r.W-a.nameW-2) }

// x is the column of an instant; it may lie outside of the chart.
func (a planAxis) x(t time.Time, width int) int {
	return int(t.Sub(a.from) * time.Duration(width) / a.span)
}

func (a planAxis) drawTimes(env *screen.Env, r canvas.Region) {
	c := a.chart(r)
	step := 15 * time.Minute
	for a.span/step*8 > time.Duration(c.W) {
		step *= 2
	}
	word := env.Words.Say("plan.now")
	if now := a.x(env.Now, c.W); now >= 0 && now < c.W {
		c.Put(now, 0, theme.Strong, word)
	}
	for t := a.from.Truncate(step).Add(step); t.Before(a.from.Add(a.span)); t = t.Add(step) {
		if x := a.x(t, c.W); x > canvas.Width(word)+1 && x+5 < c.W {
			c.Put(x, 0, theme.Faint, env.Words.TimeOfDay(t, ""))
		}
	}
}

// bar draws one piece of work. What holds up the end is drawn with another shape,
// so that it can be told without colour.
func (a planAxis) bar(r canvas.Region, from, to time.Time, label string, tight bool, role theme.Role) {
	c := a.chart(r)
	x0, x1 := max(0, a.x(from, c.W)), min(c.W, a.x(to, c.W))
	if x1 <= x0 {
		return
	}
	g := c.Theme().Glyphs
	glyph := g.Left
	if tight {
		glyph = g.Done
	}
	seg := c.Sub(x0, 0, x1-x0, 1)
	seg.Put(0, 0, role, strings.Repeat(glyph, seg.W))
	if seg.W > 3 {
		seg.Cols(0, seg.W-1).Put(0, 0, role, label)
	}
}

// drawRows draws a row for each slot in use and for each person.
func (v *Plan) drawRows(env *screen.Env, r canvas.Region, p *plan.Plan, a planAxis) {
	y := 0
	for i := range env.State.Site.Stations {
		if env.State.Site.Stations[i].Kind == line.Chill {
			continue
		}
		for slot := range env.State.Site.Stations[i].Slots {
			at := line.Place{Station: i, Slot: slot}
			if y < r.H && v.drawSlot(env, r.Rows(y, 1), p, a, at) {
				y++
			}
		}
	}
	for who := range max(1, len(env.State.Crew)) {
		if y >= r.H {
			return
		}
		row := r.Rows(y, 1)
		name := env.Words.Say("plan.you")
		if who < len(env.State.Crew) {
			name = env.State.Crew[who]
		}
		row.Cols(1, a.nameW-1).Put(0, 0, theme.Strong, name)
		for i := range p.Hands {
			if t := &p.Hands[i]; t.Who == who {
				a.bar(row, t.Start, t.End, env.Words.Say("plan-task."+t.What), p.Steps[t.Step].Tight, theme.Text)
			}
		}
		y++
	}
}

// drawSlot draws the steps of one slot; false: it has none.
func (v *Plan) drawSlot(env *screen.Env, r canvas.Region, p *plan.Plan, a planAxis, at line.Place) bool {
	any := false
	for i := range p.Steps {
		s := &p.Steps[i]
		if s.Place != at {
			continue
		}
		if !any {
			r.Cols(1, a.nameW-1).Put(0, 0, theme.Faint, env.Words.Place(env.State, at))
			any = true
		}
		role := theme.Wet
		if s.Kind == line.Dry || s.Kind > line.Dry {
			role = theme.Dried
		}
		if i == v.marked {
			role = theme.Chosen
		}
		a.bar(r, s.Start, s.Off, stepLabel(env, s), s.Tight, role)
	}
	return any
}

// stepLabel is a step's name on its bar, as the board has it in a slot.
func stepLabel(env *screen.Env, s *plan.Step) string {
	switch {
	case s.Batch != 0:
		return s.Name
	case s.Crop != "":
		return env.Words.Crop(s.Crop)
	}
	return env.Words.Say("chore-short." + s.Chore.String())
}

// ampLevels are eighths of a circuit's rating, from little to full.
var ampLevels = []string{" ", ".", ":", "-", "=", "+", "*", "#"}

// drawAmps draws what each circuit would carry, on the same axis, as a row of
// levels with the peak in figures.
func (a planAxis) drawAmps(env *screen.Env, r canvas.Region, p *plan.Plan) {
	panel := &env.State.Site.Panel
	for c := range panel.Circuits {
		if c >= r.H {
			return
		}
		row := r.Rows(c, 1)
		row.Cols(1, a.nameW-1).Put(0, 0, theme.Faint, env.Words.Circuit(panel.Circuits[c].Name))
		chart := a.chart(row)
		peak := 0.0
		for x := range chart.W {
			t := a.from.Add(a.span * time.Duration(x) / time.Duration(chart.W))
			amps := plannedAmps(env.State, p, c, t)
			peak = max(peak, amps)
			level := min(int(amps/panel.Circuits[c].RatingA*float64(len(ampLevels))), len(ampLevels)-1)
			chart.Put(x, 0, theme.Bar, ampLevels[level])
		}
		chart.PutRight(chart.W, 0, theme.Text, env.Words.Say("plan.amps", peak, panel.Circuits[c].RatingA))
	}
}

// plannedAmps is what a circuit carries at an instant if everything goes by the
// plan: the loads of the steps that run then, and what is always kept free.
func plannedAmps(s *line.State, p *plan.Plan, circuit int, t time.Time) float64 {
	panel := &s.Site.Panel
	state := power.NewState(panel)
	for i := range panel.Loads {
		if panel.Loads[i].StaysOn {
			state.Loads[i] = power.Status{On: true}
		}
	}
	for i := range p.Steps {
		step := &p.Steps[i]
		load := s.Site.Stations[step.Place.Station].Load
		if load != line.NoLoad && !t.Before(step.Start) && t.Before(step.Off) && step.Setting < len(panel.Loads[load].Settings) {
			state.Loads[load] = power.Status{On: true, Setting: step.Setting}
		}
	}
	return panel.Amps(state, circuit, t)
}
