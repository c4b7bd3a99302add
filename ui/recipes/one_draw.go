package recipeui

import (
	"strconv"
	"strings"

	"shedbell/line/say"
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
	key := "recipes.title-one"
	if changed {
		key = "recipes.title-changed"
	}
	title := env.Words.Say(key, env.State.Site.Name, strings.ToUpper(env.Words.Crop(p.crop)), saved.Revision)
	body := screen.Page(env, r, title, "", p.actions(s, env))
	text, chart := body, body
	if body.W >= besideFrom {
		text, chart = body.Cols(0, body.W/2), body.Cols(body.W/2+1, body.W-body.W/2-2)
	}
	y := p.drawFields(env, text, &saved, &draft)
	if p.writing != nil {
		p.writing.Draw(env, body.Rows(y+1, body.H-y-1))
		return
	}
	y += p.drawWords(s, env, text.Rows(y, text.H-y).Inset(1, 0), &saved, &draft, changed)
	if body.W < besideFrom {
		chart = body.Rows(y, body.H-y).Inset(1, 0)
	}
	drawChart(env, chart, &saved, s.look(env.State, &saved))
}

func (p *onePage) drawFields(env *screen.Env, r canvas.Region, saved, draft *recipes.Recipe) int {
	names := [fieldCount]string{fieldFan: env.Words.Say("recipes.fans")}
	for i, step := range fieldSteps {
		names[i] = env.Words.Step(step)
	}
	nameW := 0
	for _, name := range names {
		nameW = max(nameW, canvas.Width(name))
	}
	for i := range fieldCount {
		row, role := r.Rows(i, 1), theme.Text
		if i == p.field {
			role = theme.Chosen
			row.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		row.Put(3, 0, theme.Strong, strconv.Itoa(i+1))
		if i == fieldFan {
			row.Put(5, 0, role, names[i])
			row.Put(7+nameW, 0, theme.Strong, env.Words.Setting(draft.Fan))
			note := fanTimes(env.Words, draft, true)
			if canvas.Width(note) > r.W-16-nameW {
				note = fanTimes(env.Words, draft, false) // the dead fans' time is the one to spare
			}
			row.Put(16+nameW, 0, theme.Faint, note)
			continue
		}
		step := fieldSteps[i]
		row.Put(5, 0, role, names[i])
		row.PutRight(12+nameW, 0, theme.Strong, words.Clock(draft.Time(step)))
		shortest, longest := draft.Bounds(step)
		note := env.Words.Say("recipes.bounds", words.Clock(shortest), words.Clock(longest))
		if was := saved.Time(step); was != draft.Time(step) {
			note = env.Words.Say("recipes.was", words.Clock(shortest), words.Clock(longest), words.Clock(was))
		} else if step == recipes.Soak {
			note += soakNote(env.Words, draft)
		}
		row.Put(16+nameW, 0, theme.Faint, note)
	}
	return fieldCount
}

// soakNote says what else the wash holds.
func soakNote(w *words.Speaker, r *recipes.Recipe) string {
	text := ""
	if r.Rinse > 0 {
		text += w.Say("recipes.rinse", words.Clock(r.Rinse))
	}
	if r.Drain > 0 {
		text += w.Say("recipes.drain", words.Clock(r.Drain))
	}
	if r.SanitizerContact > 0 {
		text += w.Say("recipes.sanitizer", words.Clock(r.SanitizerContact))
	}
	return text
}

// fanTimes is the dry time at every other setting, and with dead fans where there is
// room for it.
func fanTimes(w *words.Speaker, r *recipes.Recipe, dead bool) string {
	var parts []string
	fans := fanNames[:len(fanNames):len(fanNames)]
	if dead {
		fans = append(fans, recipes.FanOff)
	}
	for _, fan := range fans {
		name := w.Setting(fan)
		if fan == recipes.FanOff {
			name = w.Say("recipes.fans-dead")
		}
		if fan != r.Fan {
			parts = append(parts, name+" "+words.Clock(r.DryAt(fan)))
		}
	}
	return w.Say("recipes.dry-at", strings.Join(parts, ", "))
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
		put(theme.Refuse, 2, env.Words.Say("recipes.no-further", p.stopped))
	case changed:
		put(theme.Action, 1, " "+env.Words.Say("recipes.enter-saves", saved.Revision+1, env.By)+" ")
		put(theme.Text, 2, env.Words.Say("recipes.why", p.reason(env, saved)))
	}
	g := s.look(env.State, saved).suggestion
	if changed || !g.Changed(recipes.Dry) { // else one offer: its time is for the air that was met
		put(theme.Dried, 3, todayWords(env, draft))
	}
	put(theme.Text, 2, revisionWords(env, saved))
	if r.H > 14 {
		put(theme.Faint, r.H-y-8, detailWords(env.Words, saved)) // rows are kept for the suggestion
	}
	switch {
	case len(g.Changes) > 0:
		put(theme.Strong, 6, env.Words.Say("recipes.suggests", env.Words.Suggestion(&g), s.savingWords(env, &g)))
	case g.Crop != "":
		put(theme.Text, 2, env.Words.Say("recipes.sentence", sentence(env.Words.Suggestion(&g))))
	}
	put(theme.Faint, 2, env.Words.Say("suggest.not-judged"))
	return y
}

// todayWords compares the recipe's dry time with today's.
func todayWords(env *screen.Env, r *recipes.Recipe) string {
	a, ok := env.State.AirNow(env.Now)
	if !ok {
		return env.Words.Say("recipes.air-unknown")
	}
	t, err := r.DryToday(a, env.State.DryFan(r))
	if err != nil {
		return err.Error()
	}
	if env.State.FollowsAir(r.Crop, env.Now) {
		return env.Words.Say("recipes.today-used", env.Words.Today(&t))
	}
	return env.Words.Say("recipes.recipe-used", env.Words.Today(&t))
}

func revisionWords(env *screen.Env, r *recipes.Recipe) string {
	w := env.Words
	text := w.Say("recipes.revision", r.Revision, since(env, r.At))
	if r.By != "" {
		text += w.Say("recipes.by", r.By)
	}
	if r.Why != "" {
		text += w.Say("recipes.because", r.Why)
	}
	if n := len(r.Batches); n > 0 {
		text += w.Say("recipes.judged-on", w.Batches(n), strings.Join(r.Batches, ", "))
	}
	text = w.Say("recipes.sentence", text)
	if r.Caution != "" {
		text += w.Say("recipes.caution", r.Caution)
	}
	return text
}

// detailWords is what else a recipe holds, which a recipe file changes.
func detailWords(w *words.Speaker, r *recipes.Recipe) string {
	days := func(n int) string { return w.Say("recipes.days", n) }
	parts := []string{
		w.Say("recipes.a-batch", w.Trays(r.BatchTrays)), w.Say("recipes.a-tray", say.Grams(r.YieldG)),
		w.Say("recipes.a-package", say.Grams(r.PackageG)), w.Say("recipes.seed-a-tray", say.Grams(r.SeedG)),
		w.Say("recipes.to-harvest", days(r.DaysToHarvest)), w.Say("recipes.at-most-wet", words.Clock(r.MaxWetWait)),
	}
	if r.LeftoverG > 0 {
		parts = append(parts, w.Say("recipes.water-left", say.Grams(r.LeftoverG)))
	}
	if r.TargetDays > 0 {
		parts = append(parts, w.Say("recipes.to-keep", days(r.TargetDays)))
	}
	text := w.Say("recipes.sentence", sentence(strings.Join(parts, ", ")))
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
