package recipeui

import (
	"fmt"
	"strconv"
	"strings"

	"shedbell/recipes"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// From this width on the history stands beside the recipe.
const besideFrom = 110

func (p *onePage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	saved, draft, changed := p.current(env)
	title := fmt.Sprintf("%s, revision %d", strings.ToUpper(p.crop), saved.Revision)
	if changed {
		title += ", changed and not saved"
	}
	body := screen.Page(env, r, env.State.Site.Name+"   recipe "+title, "", p.keys(s, env), keyExit, keyHelp)
	text, chart := body, body
	if body.W >= besideFrom {
		text, chart = body.Cols(0, body.W/2), body.Cols(body.W/2+1, body.W-body.W/2-2)
	}
	y := p.drawFields(env, text, &saved, &draft)
	y += p.drawWords(s, env, text.Rows(y, text.H-y).Inset(1, 0), &saved, &draft, changed)
	if body.W < besideFrom {
		chart = body.Rows(y, body.H-y).Inset(1, 0)
	}
	drawChart(env, chart, &saved, s.look(env.State, &saved))
}

func (p *onePage) drawFields(env *screen.Env, r canvas.Region, saved, draft *recipes.Recipe) int {
	for i := range fieldCount {
		row, role := r.Rows(i, 1), theme.Text
		if i == p.field {
			role = theme.Chosen
			row.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		row.Put(3, 0, theme.Strong, strconv.Itoa(i+1))
		if i == fieldFan {
			row.Put(5, 0, role, "fans")
			row.Put(11, 0, theme.Strong, draft.Fan)
			row.Put(20, 0, theme.Faint, fanTimes(draft))
			continue
		}
		step := fieldSteps[i]
		row.Put(5, 0, role, string(step))
		row.PutRight(16, 0, theme.Strong, words.Clock(draft.Time(step)))
		shortest, longest := draft.Bounds(step)
		note := fmt.Sprintf("%s to %s", words.Clock(shortest), words.Clock(longest))
		if was := saved.Time(step); was != draft.Time(step) {
			note += ", was " + words.Clock(was)
		} else if step == recipes.Soak {
			note += soakNote(draft)
		}
		row.Put(20, 0, theme.Faint, note)
	}
	return fieldCount
}

// soakNote says what else the wash holds.
func soakNote(r *recipes.Recipe) string {
	text := ""
	if r.Rinse > 0 {
		text += ", rinse " + words.Clock(r.Rinse)
	}
	if r.Drain > 0 {
		text += ", drain " + words.Clock(r.Drain)
	}
	if r.SanitizerContact > 0 {
		text += ", sanitizer " + words.Clock(r.SanitizerContact)
	}
	return text
}

// fanTimes is the dry time at every setting.
func fanTimes(r *recipes.Recipe) string {
	var parts []string
	for _, fan := range append(fanNames[:len(fanNames):len(fanNames)], recipes.FanOff) {
		name := fan
		if fan == recipes.FanOff {
			name = "fans dead"
		}
		if fan != r.Fan {
			parts = append(parts, name+" "+words.Clock(r.DryAt(fan)))
		}
	}
	return "dry at " + strings.Join(parts, ", ")
}

// drawWords writes what can be said about the recipe and returns the rows used.
func (p *onePage) drawWords(s *Screen, env *screen.Env, r canvas.Region, saved, draft *recipes.Recipe, changed bool) int {
	y := 0
	put := func(role theme.Role, most int, text string) {
		if text != "" && y < r.H {
			room := r.Rows(y, min(most, r.H-y))
			y += min(room.Wrapped(role, text), room.H)
		}
	}
	switch {
	case p.stopped != "":
		put(theme.Refuse, 2, "No further: "+p.stopped+".")
	case changed:
		put(theme.Action, 1, fmt.Sprintf(" Enter saves this as revision %d, by %s ", saved.Revision+1, env.By))
		put(theme.Text, 2, "Why: "+p.reason(env, saved)+p.cursor(r.Theme().Glyphs.Cursor))
	}
	put(theme.Dried, 3, todayWords(env, draft))
	put(theme.Text, 2, revisionWords(saved))
	if r.H > 14 {
		put(theme.Faint, 3, detailWords(saved))
	}
	g := s.look(env.State, saved).suggestion
	switch {
	case len(g.Changes) > 0:
		put(theme.Strong, 4, "Suggestion: "+g.String()+s.savingWords(env, &g)+". 6 takes it.")
	case g.Crop != "":
		put(theme.Text, 2, sentence(g.String())+".")
	}
	put(theme.Faint, 2, recipes.NotJudged)
	return y
}

// todayWords compares the recipe's dry time with today's.
func todayWords(env *screen.Env, r *recipes.Recipe) string {
	a, ok := env.State.AirNow(env.Now)
	if !ok {
		return "Dry: today's air is not known; a types it, or the point twice."
	}
	t, err := r.DryToday(a, env.State.DryFan(r))
	if err != nil {
		return err.Error()
	}
	text := "Dry: " + t.String() + ". "
	if env.State.FollowsAir(r.Crop, env.Now) {
		return text + "Today's time is used; 5 goes back."
	}
	return text + "The recipe's time is used; 5 takes today's."
}

func revisionWords(r *recipes.Recipe) string {
	text := fmt.Sprintf("Revision %d since %s", r.Revision, since(r.At))
	if r.By != "" {
		text += " by " + r.By
	}
	if r.Why != "" {
		text += ": " + r.Why
	}
	if n := len(r.Batches); n > 0 {
		text += fmt.Sprintf("; judged on %s: %s", words.Count(n, "batch", "batches"), strings.Join(r.Batches, ", "))
	}
	text += "."
	if r.Caution != "" {
		text += " Caution: " + r.Caution + "."
	}
	return text
}

// detailWords is what else a recipe holds, which a recipe file changes.
func detailWords(r *recipes.Recipe) string {
	parts := []string{
		words.Count(r.BatchTrays, "tray", "trays") + " a batch",
		words.Grams(r.YieldG) + " a tray", words.Grams(r.PackageG) + " a package", words.Grams(r.SeedG) + " of seed a tray",
		words.Count(r.DaysToHarvest, "day", "days") + " to harvest", "at most " + words.Clock(r.MaxWetWait) + " wet",
	}
	if r.LeftoverG > 0 {
		parts = append(parts, words.Grams(r.LeftoverG)+" of water left a kilogram")
	}
	if r.TargetDays > 0 {
		parts = append(parts, "to keep "+words.Count(r.TargetDays, "day", "days"))
	}
	text := sentence(strings.Join(parts, ", ")) + "."
	if r.Note != "" {
		text += " " + r.Note
	}
	return text
}

func sentence(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}
