package recipeui

import (
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// pickPage lists the packed batches, the newest first, to choose one to taste.
type pickPage struct {
	row  int
	back page
}

func (s *Screen) pickBatch(env *screen.Env) tea.Cmd {
	if no := noTaste(env); no != "" {
		return screen.Say("Not now: " + no + ".")
	}
	s.at = &pickPage{back: s.at}
	return nil
}

func (p *pickPage) typing() bool { return true }

func (p *pickPage) keys(*Screen, *screen.Env) []screen.Binding {
	return []screen.Binding{
		screen.Bind("Enter", "taste the marked one", "enter"),
		screen.Bind("+ -", "older, newer", "+", "-", "down", "up"),
		screen.Bind("1-9", "the nth newest", "1", "2", "3", "4", "5", "6", "7", "8", "9"),
		screen.Bind("0", "back", "0", "esc"), keyHelp,
	}
}

// newest lists the packed batches, the newest first.
func newest(s *line.State) []line.PackedBatch {
	all := s.Packed()
	for i, j := 0, len(all)-1; i < j; i, j = i+1, j-1 {
		all[i], all[j] = all[j], all[i]
	}
	return all
}

func (p *pickPage) update(s *Screen, env *screen.Env, k tea.KeyMsg) tea.Cmd {
	all := newest(env.State)
	if len(all) == 0 {
		s.at = p.back
		return nil
	}
	p.row = min(p.row, len(all)-1)
	switch c := k.String(); c {
	case "?":
		return screen.Open(screen.Help)
	case "0", "esc":
		s.at = p.back
	case "+", "=", "down":
		p.row = min(p.row+1, len(all)-1)
	case "-", "up":
		p.row = max(p.row-1, 0)
	case "enter":
		s.at = p.back
		s.taste(env, all[p.row].ID, "")
	default:
		if n, err := strconv.Atoi(c); err == nil && n <= len(all) {
			s.at = p.back
			s.taste(env, all[n-1].ID, "")
		}
	}
	return nil
}

func (p *pickPage) draw(s *Screen, env *screen.Env, r canvas.Region) {
	body := screen.Page(env, r, env.State.Site.Name+"   taste which batch?", "", p.keys(s, env))
	all := newest(env.State)
	p.row = max(0, min(p.row, len(all)-1))
	first := max(0, min(p.row-body.H/2, len(all)-body.H))
	for i := first; i < len(all) && i-first < body.H; i++ {
		row, role := body.Rows(i-first, 1), theme.Text
		if i == p.row {
			role = theme.Chosen
			row.Put(1, 0, theme.Strong, r.Theme().Glyphs.Arrow)
		}
		if i < 9 {
			row.Put(3, 0, theme.Strong, strconv.Itoa(i+1))
		}
		ran := &all[i].Ran
		row.Put(5, 0, role, ran.Batch)
		note := "not tasted"
		if n := len(env.State.TastingsOf(ran)); n > 0 {
			note = "tasted " + words.Count(n, "time", "times")
		}
		if row.W > 75 {
			row.Put(36, 0, theme.Faint, "lot "+ran.Lot)
		}
		row.PutRight(row.W-1, 0, theme.Faint, note)
	}
}
