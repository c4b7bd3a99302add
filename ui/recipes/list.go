package recipeui

import (
	"fmt"
	"strconv"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// listPage lists the crops, and after them what else can be done.
type listPage struct{ row int }

var (
	keyOpen  = screen.Bind("1-9", "open", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keyEnter = screen.Bind("Enter", "open the marked one", "enter", " ")
	keyDown  = screen.Bind("+ -", "move the mark", "+", "=", "down", "j")
	keyUp    = screen.Bind("-", "mark the one above", "-", "up", "k")
	keyAir   = screen.Bind(".", "today's air", ".", "a", "A")
	keyAll   = screen.Bind("*", "today's dry times for all", "*")
	keyTaste = screen.Bind("t", "taste a batch", "t", "T")
	keyExit  = screen.Bind("0", "board", "0", "esc")
	keyHelp  = screen.Bind("?", "help", "?")
)

func (p *listPage) typing() bool { return false }

func (p *listPage) keys(_ *Screen, env *screen.Env) []screen.Binding {
	all, noAll := keyAll, ""
	if _, ok := env.State.AirNow(env.Now); !ok {
		noAll = "nobody has read today's air"
	} else if followsAll(env) {
		all = screen.Bind("*", "the recipes' dry times for all", "*")
	}
	return []screen.Binding{keyEnter, keyDown, keyAir, all.Unless(noAll), keyTaste.Unless(noTaste(env)), keyOpen}
}

// noTaste says why nothing can be tasted.
func noTaste(env *screen.Env) string {
	if _, ok := env.State.LastPacked(); !ok {
		return "no batch is packed yet"
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

// rows below the crops: tasting and the air, for a number pad.
const moreRows = 2

func (p *listPage) update(s *Screen, env *screen.Env, k tea.KeyMsg) tea.Cmd {
	crops := env.State.Book.Crops()
	rows := len(crops) + moreRows
	switch {
	case key.Matches(k, keyOpen.Binding):
		n, _ := strconv.Atoi(k.String())
		if n > len(crops) {
			return screen.Say("There is no crop " + k.String() + ".")
		}
		p.row = n - 1
		return s.show(env, crops[p.row], "", "adjusted on the recipe screen")
	case key.Matches(k, keyEnter.Binding):
		switch p.row - len(crops) {
		case 0:
			return s.pickBatch(env)
		case 1:
			return s.askAir(env)
		}
		return s.show(env, crops[min(p.row, len(crops)-1)], "", "adjusted on the recipe screen")
	case key.Matches(k, keyDown.Binding):
		p.row = (p.row + 1) % rows
	case key.Matches(k, keyUp.Binding):
		p.row = (p.row + rows - 1) % rows
	case key.Matches(k, keyAir.Binding):
		return s.askAir(env)
	case key.Matches(k, keyAll.Binding):
		return useAir(env, "", !followsAll(env))
	case key.Matches(k, keyTaste.Binding):
		return s.pickBatch(env)
	}
	return nil
}

func (p *listPage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.State.Site.Name+"   recipes", "", p.keys(s, env), keyExit, keyHelp)
	used := drawAir(env, body.Rows(0, min(2, body.H)).Inset(1, 0))
	body = body.Rows(used, body.H-used)
	c := columnsFor(body.W)
	if body.H > 4 {
		c.heads(body.Rows(0, 1))
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
			row.Put(6, 0, role, "taste a batch")
		case 1:
			row.Put(6, 0, role, "today's air")
		default:
			if i < 9 {
				row.Put(3, 0, theme.Strong, strconv.Itoa(i+1))
			}
			p.drawCrop(s, env, row, c, crops[i], role)
		}
	}
}

// columns are where the figures end.
type columns struct{ name, soak, spin, dry, today, fan, rev, judged, mark int }

func columnsFor(w int) columns {
	if w < 72 {
		return columns{name: 6, soak: 25, spin: 32, dry: 40, fan: 42, rev: 0, judged: 0, mark: 50}
	}
	return columns{name: 6, soak: 26, spin: 33, dry: 41, fan: 43, rev: 56, judged: 65, mark: 67}
}

func (c columns) heads(r canvas.Region) {
	r.Put(c.name, 0, theme.Faint, "crop")
	r.PutRight(c.soak, 0, theme.Faint, "soak")
	r.PutRight(c.spin, 0, theme.Faint, "spin")
	r.PutRight(c.dry, 0, theme.Faint, "dry")
	r.Put(c.fan, 0, theme.Faint, "fans")
	if c.rev > 0 {
		r.PutRight(c.rev, 0, theme.Faint, "rev.")
		r.PutRight(c.judged, 0, theme.Faint, "judged")
	}
}

func (p *listPage) drawCrop(s *Screen, env *screen.Env, r canvas.Region, c columns, crop string, role theme.Role) {
	rec, _ := env.State.Recipe(crop)
	l := s.look(env.State, &rec)
	r.Sub(c.name, 0, c.soak-c.name-6, 1).Put(0, 0, role, crop)
	r.PutRight(c.soak, 0, theme.Wet, words.Clock(rec.Soak))
	r.PutRight(c.spin, 0, theme.Text, words.Clock(rec.Spin))
	r.PutRight(c.dry, 0, theme.Dried, words.Clock(rec.Dry))
	r.Put(c.fan, 0, theme.Text, rec.Fan)
	if c.rev > 0 {
		r.PutRight(c.rev, 0, theme.Text, strconv.Itoa(rec.Revision))
		r.PutRight(c.judged, 0, theme.Text, strconv.Itoa(len(l.suggestion.Batches)))
	}
	mark, how := "", theme.Strong
	switch _, unsaved := s.one.drafts[crop]; {
	case unsaved:
		mark, how = "not saved", theme.Soon
	case len(l.suggestion.Changes) > 0:
		mark = "suggestion"
		if r.W-c.mark > 30 {
			mark = "suggestion: " + changes(&l.suggestion)
		}
	case env.State.FollowsAir(crop, env.Now):
		mark, how = "dry by the air", theme.Calm
		if t, err := rec.DryToday(env.State.Air.Air, env.State.DryFan(&rec)); err == nil {
			mark = "today " + words.Clock(t.Today)
		}
	}
	r.Put(c.mark, 0, how, mark)
}

// drawAir says what is known of the air and returns the rows used.
func drawAir(env *screen.Env, r canvas.Region) int {
	a, ok := env.State.AirNow(env.Now)
	if !ok {
		return r.Wrapped(theme.Action, " Today's air is not known. Type it with the point: dry times follow it. ")
	}
	text := fmt.Sprintf("Air %s, read at %s by %s.", a, env.TimeOfDay(env.State.Air.At, ""), env.State.Air.By)
	if n := len(env.State.UseAir); n > 0 {
		text += " Dry times follow it for " + words.Count(n, "crop", "crops") + "."
	}
	return r.Wrapped(theme.Text, text)
}
