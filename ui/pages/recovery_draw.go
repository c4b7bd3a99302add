package pages

import (
	"fmt"

	"shedbell/line/live"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Draw draws the list: what it is about, one step after the other, and what the
// amps and the fridge are taken for meanwhile.
func (v *Recovery) Draw(env *screen.Env, r canvas.Region) {
	all := allInterrupted(env.Words, env.State, env.Now)
	marked := max(0, min(v.marked, len(all)-1))
	body := screen.Page(env, r, env.Words.Say("recovery.title"), "", v.Actions(env)).Inset(1, 0)
	y := body.Wrapped(theme.Action, recoveryHeadline(env, len(all)))
	if len(all) == 0 || body.H < 4 {
		y = min(y, 1)
	} else {
		y++
	}
	notes := recoveryHints(env)
	room := body.H - y
	if room >= 2*len(all)+len(notes)+1 {
		room -= len(notes) + 1
		for i, text := range notes {
			body.Put(0, body.H-len(notes)+i, theme.Faint, text)
		}
	}
	rows := 2
	if body.W >= 100 || room < 2*len(all) {
		rows = 1
	}
	first := max(0, min(marked-room/rows+1, len(all)-1))
	for i := first; i < len(all) && y+rows <= body.H; i++ {
		v.drawItem(env, body.Rows(y, rows), i, i == marked, &all[i])
		y += rows
	}
}

func (v *Recovery) drawItem(env *screen.Env, r canvas.Region, i int, marked bool, it *interrupted) {
	role, mark := theme.Strong, "  "
	if marked {
		role, mark = theme.Chosen, env.Theme.Glyphs.Arrow+" "
	}
	x := r.Put(0, 0, role, fmt.Sprintf("%s%d  %s, %s", mark, i+1, it.name, env.Words.Place(env.State, it.place)))
	text := it.ran(env.Words, env.Now)
	if r.H > 1 {
		r.Put(5, 1, theme.Text, text)
		wet, role := it.wetWords(env.Words)
		r.PutRight(r.W, 0, role, wet)
		return
	}
	x = max(x+3, min(34, r.W/3))
	r.Put(x, 0, theme.Text, text)
	wet, role := it.wetWords(env.Words)
	r.Put(x+canvas.Width(text)+3, 0, role, wet)
}

// wetWords say how long the greens have been wet, and that it is too long.
func (it *interrupted) wetWords(w *words.Speaker) (string, theme.Role) {
	switch {
	case it.wet <= 0:
		return "", theme.Text
	case it.limit > 0 && it.wet > it.limit:
		return w.Say("recovery.wet-limit", words.Clock(it.wet), words.Clock(it.limit)), theme.Urgent
	}
	return w.Say("recovery.wet", words.Clock(it.wet)), theme.Wet
}

func recoveryHeadline(env *screen.Env, n int) string {
	from, to, ok := recoveryGap(env)
	switch {
	case n == 0:
		return env.Words.Say("recovery.none")
	case !ok:
		return env.Words.Say("recovery.unwatched") + env.Words.Say("recovery.look", n)
	}
	layout := "15:04:05"
	if env.Prefs.TwelveHour {
		layout = "3:04:05 pm"
	}
	if to.Sub(from).Hours() >= 20 {
		layout = "2 Jan " + layout
	}
	return env.Words.Say("recovery.unwatched-from", env.Words.Date(from, layout), env.Words.Date(to, layout), env.Words.Span(to.Sub(from))) +
		env.Words.Say("recovery.look", n)
}

// recoveryHints say what is taken for granted until somebody has looked.
func recoveryHints(env *screen.Env) []string {
	out := []string{env.Words.Say("recovery.counts-on")}
	if from, to, ok := recoveryGap(env); ok && to.Sub(from) >= live.FridgeGap {
		out = append(out, env.Words.Say("recovery.fridge"))
	}
	return out
}
