package recipeui

import (
	"strings"
	"time"

	"shedbell/recipes"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

const (
	chartLeft = 14 // room for the words of the scores
	chartRows = 5 + 1
)

// drawChart draws dry time across and wetness up; each tasting is the number of the
// revision that its batch ran on. A post marks the recipe's time.
func drawChart(env *screen.Env, r canvas.Region, rec *recipes.Recipe, l looked) {
	if r.H < chartRows || r.W < chartLeft+20 {
		return
	}
	if r.H > chartRows || len(l.points) == 0 {
		r.Put(0, 0, theme.Faint, legend(env, rec.Crop, r.W))
		r = r.Rows(1, r.H-1)
	}
	if len(l.points) == 0 {
		r.Rows(1, r.H-1).Wrapped(theme.Faint, env.Words.Say("recipes.no-tastings"))
		return
	}
	step := max(1, min((r.H-1)/5, 4))
	plot := r.Sub(chartLeft, 0, r.W-chartLeft-1, 5*step)
	from, to := span(rec, l.points)
	x := func(d time.Duration) int { return int((d - from) * time.Duration(plot.W-1) / max(to-from, 1)) }
	row := func(score recipes.Score) int { return int(5-score)*step + step/2 }
	for score := recipes.Score(1); score <= 5; score++ {
		r.PutRight(chartLeft-1, row(score), theme.Faint, env.Words.Answer(0, score))
	}
	plot.Put(0, row(3), theme.Faint, strings.Repeat(r.Theme().Glyphs.Dot, plot.W))
	for y := range plot.H {
		plot.Put(x(l.bracket.Now), y, theme.Faint, r.Theme().Glyphs.Post)
	}
	for i := range l.points {
		p := &l.points[i]
		role := theme.Text
		if p.Revision == rec.Revision {
			role = theme.Strong
		}
		plot.Put(x(p.Dry), row(p.Wetness), role, digit(p.Revision))
	}
	drawAxis(r.Sub(chartLeft, plot.H, plot.W, 1), from, to, x(l.bracket.Now), l.bracket.Now)
	if y := 1 + plot.H; y < r.H {
		r.Rows(y, r.H-y).Wrapped(theme.Faint, env.Words.Say("recipes.tastings", env.Words.Bracket(&l.bracket), env.Words.Air(l.bracket.Air)))
	}
}

// drawAxis writes the ends of the scale and the recipe's own time under the post.
func drawAxis(r canvas.Region, from, to time.Duration, at int, own time.Duration) {
	r.Put(0, 0, theme.Faint, words.Clock(from))
	r.PutRight(r.W, 0, theme.Faint, words.Clock(to))
	text := words.Clock(own)
	if x := at - canvas.Width(text)/2; x > canvas.Width(words.Clock(from)) && x+canvas.Width(text) < r.W-canvas.Width(words.Clock(to))-1 {
		r.Put(x, 0, theme.Strong, text)
	}
}

// span is the time across: the recipe's bounds and every point.
func span(rec *recipes.Recipe, points []recipes.Point) (from, to time.Duration) {
	from, to = rec.Bounds(recipes.Dry)
	for i := range points {
		from, to = min(from, points[i].Dry), max(to, points[i].Dry)
	}
	return from.Truncate(time.Minute), (to + time.Minute - 1).Truncate(time.Minute)
}

// digit is one cell for a revision: its last digit.
func digit(revision int) string { return string(rune('0' + revision%10)) }

// legend says when each revision began, the latest ones where not all fit.
func legend(env *screen.Env, crop string, width int) string {
	history := env.State.Book.History(crop)
	text := ""
	for i := len(history) - 1; i >= 0; i-- {
		part := env.Words.Say("recipes.since", history[i].Revision, since(env, history[i].At))
		if text != "" {
			part += ", " + text
		}
		if canvas.Width(part) > width-12 && text != "" {
			break
		}
		text = part
	}
	return env.Words.Say("recipes.revisions", text)
}
