package recipeui

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/recipes"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// comparePage sets two revisions side by side and goes back to the first.
type comparePage struct {
	crop     string
	from, to int // places in the history
}

func (s *Screen) compare(env *screen.Env) {
	n := len(env.State.Book.History(s.one.crop))
	s.at = &comparePage{crop: s.one.crop, from: n - 2, to: n - 1}
}

func (p *comparePage) actions(s *Screen, env *screen.Env) act.Table {
	history := env.State.Book.History(p.crop)
	last := len(history) - 1
	p.from, p.to = min(p.from, last), min(p.to, last)
	step := func(at *int, by int) func() { return func() { *at = min(max(*at+by, 0), last) } }
	back := history[p.from].Revision
	current := ""
	if len(recipes.Compare(history[p.from].WithDefaults(), history[last].WithDefaults())) == 0 {
		current = "recipes-why.current"
	}
	return act.Table{
		act.Key("+ -", "recipes-does.left-older", "+", "=", "up").Do(step(&p.from, 1)),
		act.Key("-", "recipes-does.left-older", "-", "down").Do(step(&p.from, -1)).Hidden(),
		act.Key("9 3", "recipes-does.right-older", "9").Do(step(&p.to, 1)),
		act.Key("3", "recipes-does.right-older", "3").Do(step(&p.to, -1)).Hidden(),
		act.Key("Enter", "recipes-does.go-back-left", "enter").
			Send(line.GoBack{Crop: p.crop, Revision: back, By: env.By, Why: env.Words.Say("recipes.why-back", back)}).
			Unless(readOnly(env)).Unless(current),
		act.Key("0", "does.back", "0", "esc", ".").Run(func() tea.Cmd { return s.show(env, p.crop, "", s.one.why) }),
	}
}

// settingName is what people call a key of the recipe file.
func settingName(w *words.Speaker, setting string) string {
	return w.Say("recipes-setting." + strings.ReplaceAll(setting, " ", "-"))
}

func (p *comparePage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	history := env.State.Book.History(p.crop)
	a, b := history[min(p.from, len(history)-1)], history[min(p.to, len(history)-1)]
	body := screen.Page(env, r, env.Words.Say("recipes.title-two", env.State.Site.Name, env.Words.Crop(p.crop)), "", p.actions(s, env))
	half := min((body.W-24)/2, 40)
	left, right := 22, 22+half+1
	for i, rev := range []recipes.Recipe{a, b} {
		col := body.Cols([]int{left, right}[i], half)
		col.Put(0, 0, theme.Strong, env.Words.Say("recipes.revision-number", rev.Revision))
		col.Put(0, 1, theme.Text, since(env, rev.At)+" "+rev.By)
		col.Rows(2, 2).Wrapped(theme.Faint, rev.Why)
	}
	diff := recipes.Compare(a.WithDefaults(), b.WithDefaults())
	for i, d := range diff {
		row := body.Rows(5+i, 1)
		row.Put(1, 0, theme.Text, settingName(env.Words, d.Setting))
		row.Sub(left, 0, half, 1).Put(0, 0, theme.Strong, d.From)
		row.Sub(right, 0, half, 1).Put(0, 0, theme.Strong, d.To)
	}
	if len(diff) == 0 {
		body.Put(1, 5, theme.Faint, env.Words.Say("recipes.same-settings"))
	}
	y := 7 + len(diff)
	current := history[len(history)-1].WithDefaults()
	drawChart(env, body.Rows(y, body.H-y).Inset(1, 0), &current, s.look(env.State, &current))
}
