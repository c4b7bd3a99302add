package recipeui

import (
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/recipes"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// airPage asks for the air. What was typed stays in the form until the line has taken
// it.
type airPage struct {
	form *form.Form
	back page
}

func (s *Screen) askAir(env *screen.Env) {
	if s.air == nil {
		s.air = form.New(env, "", "recipes.air-asks",
			form.Row{Name: "temp", Label: "recipes.temperature", Kind: form.Temperature, Min: recipes.MinAirC, Max: recipes.MaxAirC},
			form.Row{Name: "humid", Label: "recipes.humidity", Kind: form.Percent, Max: 100})
	}
	s.at = &airPage{form: s.air, back: s.at}
}

func (p *airPage) actions(s *Screen, env *screen.Env) act.Table {
	return p.form.Fill(env, s.goTo(p.back), func() tea.Cmd {
		temp, _ := p.form.Number("temp")
		humid, _ := p.form.Number("humid")
		return screen.Do(line.ReadAir{TempC: temp, RHPercent: humid})
	})
}

func (p *airPage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("recipes.title-air", env.State.Site.Name), "", p.actions(s, env))
	notes := env.Words.Say("recipes.air-holds")
	if a, ok := env.State.AirNow(env.Now); ok {
		notes = env.Words.Say("recipes.air-is", env.Words.TimeOfDay(env.State.Air.At, ""), env.Words.Warmth(a.TempC), a.RHPercent) + " " + notes
	}
	rows := min(len(canvas.Wrap(notes, body.W-4)), max(0, body.H-6))
	y := p.form.Draw(env, body.Rows(0, body.H-rows)) + 1
	body.Sub(2, min(y, body.H-rows), body.W-4, rows).Wrapped(theme.Faint, notes)
}

// useAir accepts today's dry times, or goes back to the recipe's.
func useAir(a act.Action, crop string, on bool) act.Action {
	return a.Send(line.UseAir{Crop: crop, On: on})
}
