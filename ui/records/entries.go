package recordsui

import (
	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// drawEntries lists the safety entries, the newest first, each beside its limits.
func (s *Screen) drawEntries(env *screen.Env, r canvas.Region) {
	all := env.State.Entries
	if len(all) == 0 {
		r.Inset(1, 0).Wrapped(theme.Text, env.Words.Say("records-page.no-entry"))
		return
	}
	marked := min(s.marked[pageEntries], len(all)-1)
	var rows []row
	first, end := 0, 0
	for i := range all {
		if i == marked {
			first = len(rows)
		}
		rows = append(rows, entryRows(env, &all[len(all)-1-i], i == marked, r.W)...)
		if i == marked {
			end = len(rows)
		}
		if i > marked && len(rows)-end > r.H {
			break
		}
	}
	from := min(max(0, end-r.H+1), first) // the last row may say that there is more
	drawRows(env.Words, r, rows, from)
}

func entryRows(env *screen.Env, k *line.KeptEntry, marked bool, width int) []row {
	e := &k.Entry
	made := e.Made.In(env.Now.Location())
	role, arrow := theme.Text, " "
	if marked {
		role, arrow = theme.Chosen, env.Theme.Glyphs.Arrow
	}
	if k.Corrected != 0 {
		role = theme.Faint
	}
	const textX = 16
	var out []row
	signed := env.Words.Say("records-page.signed", env.Words.Entry(e), e.Initials, k.Seq)
	for i, l := range canvas.Wrap(signed, max(width-textX-1, 1)) {
		one := row{{textX, role, l}}
		if i == 0 {
			one = append(one, piece{0, theme.Strong, arrow}, piece{1, theme.Faint, env.Words.TimeOfDay(made, "02 Jan ")})
		}
		out = append(out, one)
	}
	note := func(role theme.Role, text string) {
		for _, l := range canvas.Wrap(text, max(width-textX-3, 1)) {
			out = append(out, row{{textX + 2, role, l}})
		}
	}
	for _, b := range env.State.Beside(k) {
		role := theme.Faint
		if b.Past {
			role = theme.Soon
		}
		note(role, env.Words.Beside(&b, marked))
	}
	switch {
	case k.Corrected != 0:
		note(theme.Faint, env.Words.Say("records-page.corrected-by", k.Corrected))
	case e.Corrects != 0:
		note(theme.Faint, env.Words.Say("records-page.corrects", e.Corrects))
	}
	if e.Late {
		note(theme.Faint, env.Words.Say("records-page.late", env.Words.TimeOfDay(k.At.In(env.Now.Location()), "02 Jan ")))
	}
	if e.About != 0 {
		note(theme.Faint, env.Words.Say("records-page.about", e.About))
	}
	return out
}
