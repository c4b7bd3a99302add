package recipeui

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/recipes"
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

func (s *Screen) compare(env *screen.Env) tea.Cmd {
	n := len(env.State.Book.History(s.one.crop))
	if n < 2 {
		return screen.Say(env.Words.Say("recipes.no-revision-two"))
	}
	s.at = &comparePage{crop: s.one.crop, from: n - 2, to: n - 1}
	return nil
}

func (p *comparePage) typing() bool { return true }

func (p *comparePage) keys(_ *Screen, env *screen.Env) []screen.Binding {
	return []screen.Binding{
		screen.Bind("+ -", "recipes-does.left-older", "+", "-", "up", "down"),
		screen.Bind("9 3", "recipes-does.right-older", "9", "3"),
		screen.Bind("Enter", "recipes-does.go-back-left", "enter").Unless(p.noBack(env)),
		screen.Bind("0", "does.back", "0", "esc"), keyHelp,
	}
}

func (p *comparePage) noBack(env *screen.Env) string {
	if no := readOnly(env); no != "" {
		return no
	}
	history := env.State.Book.History(p.crop)
	if len(recipes.Compare(history[min(p.from, len(history)-1)].WithDefaults(), history[len(history)-1].WithDefaults())) == 0 {
		return "recipes-why.current"
	}
	return ""
}

func (p *comparePage) update(s *Screen, env *screen.Env, k tea.KeyMsg) tea.Cmd {
	history := env.State.Book.History(p.crop)
	last := len(history) - 1
	p.from, p.to = min(p.from, last), min(p.to, last)
	switch k.String() {
	case "?":
		return screen.Open(screen.Help)
	case "0", "esc", ".":
		return s.show(env, p.crop, "", s.one.why)
	case "+", "=", "up":
		p.from = min(p.from+1, last)
	case "-", "down":
		p.from = max(p.from-1, 0)
	case "9":
		p.to = min(p.to+1, last)
	case "3":
		p.to = max(p.to-1, 0)
	case "enter":
		if no := p.noBack(env); no != "" {
			return notNow(env, no)
		}
		back := history[p.from].Revision
		return screen.Do(line.GoBack{Crop: p.crop, Revision: back, By: env.By, Why: env.Words.Say("recipes.why-back", back)})
	}
	return nil
}

// settingName is what people call a key of the recipe file.
func settingName(w *words.Speaker, setting string) string {
	return w.Say("recipes-setting." + strings.ReplaceAll(setting, " ", "-"))
}

func (p *comparePage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	history := env.State.Book.History(p.crop)
	a, b := history[min(p.from, len(history)-1)], history[min(p.to, len(history)-1)]
	body := screen.Page(env, r, env.Words.Say("recipes.title-two", env.State.Site.Name, p.crop), "", p.keys(s, env))
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
