package board

import (
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/rehearse"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// drawStrip draws what comes: stations down, time across, from now on.
func drawStrip(env *screen.Env, r canvas.Region) {
	if r.H < 3 || r.W < 40 {
		return
	}
	if !env.End.Known && env.State.Sheet != nil && env.End.Stuck == nil {
		r.Put(1, 0, theme.Faint, env.Words.Say("board.computing"))
		return
	}
	if !env.End.Known || len(env.End.Steps) == 0 && !anyRuns(env.State) {
		r.Put(1, 0, theme.Faint, env.Words.Say("board.coming"))
		return
	}
	const nameW = 14
	chart := r.Sub(nameW+2, 0, r.W-nameW-3, r.H)
	span := stripSpan(chart.W)
	drawTimes(env, chart, span)
	y := 1
	for i := range env.State.Site.Stations {
		if y >= r.H {
			return
		}
		if !busyStation(env, i) {
			continue
		}
		r.Sub(1, y, nameW, 1).Put(0, 0, theme.Faint, env.Words.Station(env.State.Site.Stations[i].Name))
		drawStripRow(env, chart.Rows(y, 1), i, span)
		y++
	}
}

// stripSpan is how much time a width shows: a minute a cell, but not less than an
// hour and a half.
func stripSpan(w int) time.Duration {
	return max(90*time.Minute, time.Duration(w)*time.Minute)
}

func drawTimes(env *screen.Env, r canvas.Region, span time.Duration) {
	r.Put(0, 0, theme.Faint, env.Words.Say("when.now"))
	for t := env.Now.Truncate(15 * time.Minute).Add(15 * time.Minute); t.Sub(env.Now) < span; t = t.Add(15 * time.Minute) {
		x := int(t.Sub(env.Now) * time.Duration(r.W) / span)
		if x > 4 && x+5 < r.W {
			r.Put(x, 0, theme.Faint, env.Words.TimeOfDay(t, ""))
		}
	}
}

func anyRuns(s *line.State) bool {
	for i := range s.Batches {
		if s.Batches[i].Fate == line.OnLine {
			return true
		}
	}
	return len(s.Chores) > 0
}

func busyStation(env *screen.Env, station int) bool {
	if env.State.Site.Stations[station].Kind == line.Chill {
		return false
	}
	if len(occupied(env.State, station)) > 0 {
		return true
	}
	for i := range env.End.Steps {
		if env.End.Steps[i].Station == station {
			return true
		}
	}
	return false
}

func drawStripRow(env *screen.Env, r canvas.Region, station int, span time.Duration) {
	bar := func(from, to time.Time, label string, role theme.Role) {
		x0 := max(0, int(from.Sub(env.Now)*time.Duration(r.W)/span))
		x1 := min(r.W, int(to.Sub(env.Now)*time.Duration(r.W)/span))
		if x1 <= x0 || x0 >= r.W {
			return
		}
		seg := r.Sub(x0, 0, x1-x0, 1)
		seg.Put(0, 0, role, strings.Repeat(r.Theme().Glyphs.Done, seg.W))
		if seg.W > 3 {
			seg.Sub(0, 0, seg.W-1, 1).Put(0, 0, role, label)
		}
	}
	for _, p := range occupied(env.State, station) {
		step := env.State.StepAt(p)
		if step.Progress == line.Running && step.Planned > 0 {
			bar(env.Now, env.Now.Add(max(step.Left(env.Now), 0)), occupantName(env, p), theme.Strong)
		}
	}
	for i := range env.End.Steps {
		if s := &env.End.Steps[i]; s.Station == station {
			bar(s.Start, s.End, stepLabel(env, s), theme.Text)
		}
	}
}

func stepLabel(env *screen.Env, step *rehearse.StepTime) string {
	if b := env.State.Batch(step.Batch); b != nil {
		return env.Words.Batch(b)
	}
	if step.Crop != "" {
		return env.Words.Crop(step.Crop)
	}
	return env.Words.Chore(step.Chore)
}
