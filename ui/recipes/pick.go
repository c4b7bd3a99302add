package recipeui

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
)

// pickPage asks for a packed batch to taste: one of the latest by its digit, or any by
// the digits of its lot.
type pickPage struct {
	form   *form.Form
	latest []line.PackedBatch // the newest first
	back   page
}

// mostLatest is how many batches are listed.
const mostLatest = 20

func (s *Screen) pickBatch(env *screen.Env) {
	p := &pickPage{latest: env.State.Packed(), back: s.at}
	slices.Reverse(p.latest)
	p.latest = p.latest[:min(len(p.latest), mostLatest)]
	var names []string
	for i := range p.latest {
		ran := &p.latest[i].Ran
		tasted := env.Words.Say("recipes.not-tasted")
		if n := len(env.State.TastingsOf(ran)); n > 0 {
			tasted = env.Words.Say("recipes.tasted", n)
		}
		names = append(names, env.Words.Say("recipes.pick", ran.Called(), env.Words.Say("recipes.lot-is", ran.Lot), tasted))
	}
	p.form = form.Ask(env, "recipes.ask-batch", "", form.Row{Name: "batch", Label: "recipes.batch", Kind: form.Choice, Choices: names,
		Own: "recipes.other-lot", Default: form.Num(0)})
	s.at = p
}

func (p *pickPage) actions(s *Screen, env *screen.Env) act.Table {
	return p.form.Fill(env, s.goTo(p.back), func() tea.Cmd {
		if i, ok := p.form.Choice("batch"); ok {
			s.at = p.back
			s.taste(env, p.latest[i].ID, "")
			return nil
		}
		if b, ok := ofLot(env.State, p.form.Text("batch")); ok {
			s.at = p.back
			s.taste(env, b.ID, "")
			return nil
		}
		return screen.Do(line.TasteBatch{Name: p.form.Text("batch")}) // the line says which lots are near
	})
}

const dateDigits = 4

// ofLot is the newest batch whose lot ends in some digits, or holds them where they are
// four or more, as a date does.
func ofLot(s *line.State, typed string) (line.PackedBatch, bool) {
	typed = strings.ReplaceAll(typed, "-", "")
	all := s.Packed()
	slices.Reverse(all)
	for _, b := range all {
		digits := strings.ReplaceAll(b.Ran.Lot, "-", "")
		if strings.HasSuffix(digits, typed) || len(typed) >= dateDigits && strings.Contains(digits, typed) {
			return b, true
		}
	}
	return line.PackedBatch{}, false
}

func (p *pickPage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	p.form.Draw(env, screen.Page(env, r, env.Words.Say("recipes.title-pick", env.State.Site.Name), "", p.actions(s, env)))
}
