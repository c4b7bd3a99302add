package recipeui

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// pickPage lists the packed batches, the newest first, to choose one to taste.
// Digits leave those whose lot ends in them, or holds them where they are four or
// more, as a date does.
type pickPage struct {
	row   int
	typed string
	back  page
}

func (s *Screen) pickBatch(env *screen.Env) tea.Cmd {
	if no := noTaste(env); no != "" {
		return notNow(env, no)
	}
	s.at = &pickPage{back: s.at}
	return nil
}

func (p *pickPage) typing() bool { return true }

func (p *pickPage) keys(*Screen, *screen.Env) []screen.Binding {
	return []screen.Binding{
		screen.Bind("Enter", "recipes-does.taste-it", "enter"),
		screen.Bind("0-9", "recipes-does.lot", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9"),
		screen.Bind("+ -", "recipes-does.older-newer", "+", "-", "down", "up"),
		screen.Bind(".", "does.erase", ".", "backspace"),
		screen.Bind("0", "does.back", "0", "esc"), keyHelp,
	}
}

const dateDigits = 4

// fitting lists the packed batches that fit what was typed, the newest first.
func (p *pickPage) fitting(s *line.State) []line.PackedBatch {
	all := s.Packed()
	slices.Reverse(all)
	if p.typed == "" {
		return all
	}
	return slices.DeleteFunc(all, func(b line.PackedBatch) bool {
		digits := strings.ReplaceAll(b.Ran.Lot, "-", "")
		return !strings.HasSuffix(digits, p.typed) && (len(p.typed) < dateDigits || !strings.Contains(digits, p.typed))
	})
}

func (p *pickPage) update(s *Screen, env *screen.Env, k tea.KeyMsg) tea.Cmd {
	all := p.fitting(env.State)
	p.row = max(0, min(p.row, len(all)-1))
	switch c := k.String(); {
	case c == "?":
		return screen.Open(screen.Help)
	case c == "esc" || c == "0" && p.typed == "":
		s.at = p.back
	case c == "+" || c == "=" || c == "down":
		p.row = min(p.row+1, max(0, len(all)-1))
	case c == "-" || c == "up":
		p.row = max(p.row-1, 0)
	case c == "." || c == "backspace":
		if p.typed != "" {
			p.typed = p.typed[:len(p.typed)-1]
		}
	case c == "enter" && len(all) > 0:
		s.at = p.back
		s.taste(env, all[p.row].ID, "")
	case c == "enter":
		return screen.Do(line.TasteBatch{Name: p.typed}) // the line says which lots are near
	case len(c) == 1 && c[0] >= '0' && c[0] <= '9' && len(p.typed) < 12:
		p.typed, p.row = p.typed+c, 0
	}
	return nil
}

func (p *pickPage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.Words.Say("recipes.title-pick", env.State.Site.Name), "", p.keys(s, env))
	all := p.fitting(env.State)
	x := 1 + body.Put(1, 0, theme.Text, env.Words.Say("recipes.lot"))
	x += body.Put(x, 0, theme.Chosen, p.typed+r.Theme().Glyphs.Cursor)
	note := env.Words.Say("recipes.lot-digits")
	if len(all) == 0 {
		note = env.Words.Say("recipes.no-lot")
	}
	body.Put(x+2, 0, theme.Faint, note)
	body = body.Rows(2, body.H-2)
	row := max(0, min(p.row, len(all)-1))
	first := max(0, min(row-body.H/2, len(all)-body.H))
	for i := first; i < len(all) && i-first < body.H; i++ {
		entry, role := body.Rows(i-first, 1), theme.Text
		if i == row {
			role = theme.Chosen
			entry.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		ran := &all[i].Ran
		entry.Put(3, 0, role, env.Words.FromEnglish(ran.Batch))
		note := env.Words.Say("recipes.not-tasted")
		if n := len(env.State.TastingsOf(ran)); n > 0 {
			note = env.Words.Say("recipes.tasted", n)
		}
		if entry.W > 75 {
			entry.Put(36, 0, theme.Faint, env.Words.Say("recipes.lot-is", ran.Lot))
		}
		entry.PutRight(entry.W-1, 0, theme.Faint, note)
	}
}
