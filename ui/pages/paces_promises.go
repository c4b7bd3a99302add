package pages

import (
	"fmt"
	"math"
	"strings"
	"time"

	"shedbell/line/pace"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

func seconds(s float64) time.Duration {
	return time.Duration(s * float64(time.Second)).Round(time.Second)
}

// drawPromises draws what the mornings promised and when the days ended, and the scores
// by month.
func drawPromises(env *screen.Env, r canvas.Region) {
	w := env.Words
	var days []pace.Promise
	for _, p := range env.End.Learned.Promises() {
		if p.First && !p.End.IsZero() {
			days = append(days, p)
		}
	}
	if len(days) == 0 {
		r.Inset(1, 0).Wrapped(theme.Text, w.Say("paces.no-promise"))
		return
	}
	scores := pace.Scores(days, true)
	scores = scores[max(0, len(scores)-max(r.H/3, 2)):]
	chartH := r.H - len(scores) - 2
	if chartH >= 4 {
		drawPromised(env, r.Rows(0, chartH), days)
	} else {
		chartH = 0
	}
	r.Rows(chartH, 1).Inset(1, 0).Put(0, 0, theme.Faint, w.Say("paces.scores-head"))
	for i, s := range scores {
		month := s.Month
		if month == "" {
			month = w.Say("paces.all")
		}
		text := w.Say("paces.scores", month, s.N, 100*s.In50, 100*s.In90, s.CRPS, s.Bias)
		r.Rows(chartH+1+i, 1).Inset(1, 0).Put(0, 0, theme.Text, text)
	}
}

// drawPromised draws a column for each day: from the 50 to the 90 % time, and a mark where
// the day ended, with a scale of how much later than the 50 % time that is.
func drawPromised(env *screen.Env, r canvas.Region, days []pace.Promise) {
	const axis = 8
	plot := r.Sub(axis, 1, r.W-axis-1, r.H-1)
	days = days[max(0, len(days)-plot.W/2):]
	low, high := 0.0, 1.0
	for i := range days {
		p := &days[i]
		late := p.End.Sub(p.P50).Minutes()
		low, high = min(low, late), max(high, late, p.P90.Sub(p.P50).Minutes())
	}
	y := func(v float64) int { return int(math.Round((high - v) / (high - low) * float64(plot.H-1))) }
	r.Rows(0, 1).Inset(1, 0).Put(0, 0, theme.Strong, env.Words.Say("paces.chart"))
	for _, v := range []float64{high, 0, low} {
		r.Sub(0, 1, axis-1, r.H-1).PutRight(axis-1, y(v), theme.Faint, fmt.Sprintf("%+.0f", v))
	}
	g := r.Theme().Glyphs
	plot.Put(0, y(0), theme.Faint, strings.Repeat(g.Left, plot.W))
	for i := range days {
		p, x := &days[i], 2*i
		for row := y(p.P90.Sub(p.P50).Minutes()); row <= y(0); row++ {
			plot.Put(x, row, theme.Faint, g.Post)
		}
		role, mark := theme.Bar, g.Mark
		if p.End.After(p.P90) {
			role, mark = theme.Soon, "!"
		}
		plot.Put(x, y(p.End.Sub(p.P50).Minutes()), role, mark)
	}
}
