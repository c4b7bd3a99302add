package recipeui

import (
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// listPage lists the crops, and after them what else can be done.
type listPage struct{ row int }

// noTaste says why nothing can be tasted.
func noTaste(env *screen.Env) string {
	if _, ok := env.State.LastPacked(); !ok {
		return "recipes-why.none-packed"
	}
	return ""
}

func followsAll(env *screen.Env) bool {
	for _, crop := range env.State.Book.Crops() {
		if !env.State.FollowsAir(crop, env.Now) {
			return false
		}
	}
	return true
}

// rows below the crops: tasting, the air, and dry times after it.
const moreRows = 3

func (p *listPage) actions(s *Screen, env *screen.Env) act.Table {
	crops := env.State.Book.Crops()
	rows := len(crops) + moreRows
	p.row = min(max(p.row, 0), rows-1)
	open := func(i int) tea.Cmd {
		p.row = i
		return s.show(env, crops[i], "", env.Words.Say("recipes.why-screen"))
	}
	enter := act.Key("Enter", "does.open-marked", "enter", " ")
	taste := act.Key("t", "recipes-does.taste-batch", "t", "T").Do(func() { s.pickBatch(env) }).Unless(noTaste(env))
	air := act.Key(".", "recipes-does.air", ".", "a", "A").Acting().Do(func() { s.askAir(env) })
	all := act.Key("d", "recipes-does.all-today", "d", "D")
	if followsAll(env) {
		all = all.Does("recipes-does.all-recipes")
	}
	all = useAir(all, "", !followsAll(env))
	switch p.row - len(crops) {
	case 0:
		enter = enter.Do(func() { s.pickBatch(env) }).Unless(noTaste(env))
	case 1:
		enter = enter.Acting().Do(func() { s.askAir(env) })
	case 2:
		enter = useAir(enter, "", !followsAll(env)).Does("does.do")
	default:
		enter = enter.Run(func() tea.Cmd { return open(p.row) })
	}
	return act.Table{enter,
		act.Key("+ -", "does.mark", "+", "=", "down", "j").Do(func() { p.row = (p.row + 1) % rows }),
		act.Key("-", "does.mark-above", "-", "up", "k").Do(func() { p.row = (p.row + rows - 1) % rows }).Hidden(),
		air, all, taste, act.Choose(&env.Context, "recipes-does.open", len(crops), open)}
}

func (p *listPage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("recipes.title", env.State.Site.Name), "", p.actions(s, env))
	used := drawAir(env, body.Rows(0, min(2, body.H)).Inset(1, 0))
	body = body.Rows(used, body.H-used)
	c := columnsFor(body.W)
	if body.H > 4 {
		c.heads(env.Words, body.Rows(0, 1))
		body = body.Rows(1, body.H-1)
	}
	crops := env.State.Book.Crops()
	rows := len(crops) + moreRows
	p.row = min(max(p.row, 0), rows-1)
	first := max(0, min(p.row-body.H/2, rows-body.H))
	for i := first; i < rows && i-first < body.H; i++ {
		row := body.Rows(i-first, 1)
		role := theme.Text
		if i == p.row {
			role = theme.Chosen
			row.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		switch i - len(crops) {
		case 0:
			row.Put(6, 0, role, env.Words.Say("recipes.taste-batch"))
		case 1:
			row.Put(6, 0, role, env.Words.Say("recipes.todays-air"))
		case 2:
			key := "recipes-does.all-today"
			if followsAll(env) {
				key = "recipes-does.all-recipes"
			}
			row.Put(6, 0, role, env.Words.Say(key))
		default:
			if i < 9 {
				row.Put(3, 0, theme.Strong, strconv.Itoa(i+1))
			}
			p.drawCrop(s, env, row, c, crops[i], role)
		}
	}
}

// columns are where the columns end, or begin where they hold words; 0: left out.
type columns struct{ name, soak, spin, dry, today, fan, rev, judged, mark int }

func columnsFor(w int) columns {
	switch {
	case w < 78:
		return columns{name: 6, soak: 22, spin: 28, dry: 35, today: 37, mark: 48}
	case w < 110:
		return columns{name: 6, soak: 22, spin: 28, dry: 35, today: 37, fan: 48, rev: 59, judged: 66, mark: 68}
	}
	return columns{name: 6, soak: 28, spin: 36, dry: 45, today: 48, fan: 61, rev: 74, judged: 83, mark: 87}
}

func (c columns) heads(w *words.Speaker, r canvas.Region) {
	r.Put(c.name, 0, theme.Faint, w.Say("recipes.crop"))
	r.PutRight(c.soak, 0, theme.Faint, w.Say("recipes.soak"))
	r.PutRight(c.spin, 0, theme.Faint, w.Say("recipes.spin"))
	r.PutRight(c.dry, 0, theme.Faint, w.Say("recipes.dry"))
	r.Put(c.today, 0, theme.Faint, w.Say("recipes.today"))
	if c.fan > 0 {
		r.Put(c.fan, 0, theme.Faint, w.Say("recipes.fans"))
		r.PutRight(c.rev, 0, theme.Faint, w.Say("recipes.revision-short"))
		r.PutRight(c.judged, 0, theme.Faint, w.Say("recipes.judged"))
	}
}

func (p *listPage) drawCrop(s *Screen, env *screen.Env, r canvas.Region, c columns, crop string, role theme.Role) {
	rec, _ := env.State.Recipe(crop)
	l := s.look(env.State, &rec)
	r.Sub(c.name, 0, c.soak-c.name-5, 1).Put(0, 0, role, env.Words.Crop(crop))
	r.PutRight(c.soak, 0, theme.Wet, words.Clock(rec.Soak))
	r.PutRight(c.spin, 0, theme.Text, words.Clock(rec.Spin))
	r.PutRight(c.dry, 0, theme.Dried, words.Clock(rec.Dry))
	if c.fan > 0 {
		r.Put(c.fan, 0, theme.Text, env.Words.Setting(rec.Fan))
		r.PutRight(c.rev, 0, theme.Text, strconv.Itoa(rec.Revision))
		r.PutRight(c.judged, 0, theme.Text, strconv.Itoa(len(l.suggestion.Batches)))
	}
	if a, ok := env.State.AirNow(env.Now); ok {
		if t, err := rec.DryToday(a, env.State.DryFan(&rec)); err == nil {
			text, how := words.Clock(t.Today), theme.Faint
			if env.State.FollowsAir(crop, env.Now) {
				text, how = env.Words.Say("recipes.used", text), theme.Dried
			}
			r.Put(c.today, 0, how, text)
		}
	}
	mark, how := "", theme.Strong
	switch _, unsaved := s.one.drafts[crop]; {
	case unsaved:
		mark, how = env.Words.Say("recipes.unsaved"), theme.Soon
	case len(l.suggestion.Changes) > 0:
		mark = env.Words.Say("recipes.suggestion")
		if r.W-c.mark > 20 {
			mark = env.Words.Say("recipes.suggestion-is", env.Words.Changes(&l.suggestion))
		}
	}
	r.Put(c.mark, 0, how, mark)
}

// drawAir says what is known of the air and returns the rows used.
func drawAir(env *screen.Env, r canvas.Region) int {
	a, ok := env.State.AirNow(env.Now)
	if !ok {
		return r.Wrapped(theme.Action, " "+env.Words.Say("recipes.no-air")+" ")
	}
	text := env.Words.Say("recipes.air-read", env.Words.Air(a), env.Words.TimeOfDay(env.State.Air.At, ""), env.State.Air.By)
	if n := len(env.State.UseAir); n > 0 {
		text += env.Words.Say("recipes.follows", n)
	}
	return r.Wrapped(theme.Text, text)
}
