package pages

import (
	"strings"

	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// about names the screen that the help is about.
func about(env *screen.Env, name screen.Name) string {
	if key := "help.about-" + string(name); env.Words.Has(key) {
		return env.Words.Say(key)
	}
	return env.Words.Say("help.about", screen.Title(env.Words, name))
}

type helpPiece struct {
	x    int
	role theme.Role
	text string
}

type helpRow []helpPiece

// helpColumn collects lines of a given width.
type helpColumn struct {
	width int
	rows  []helpRow
}

// From this width on, what works is beside what does not.
const twoColumnsFrom = 110

func (h *Help) lines(env *screen.Env, width int) []helpRow {
	left := &helpColumn{width: width - 2}
	right := left
	if width >= twoColumnsFrom {
		left = &helpColumn{width: width/2 - 2}
		right = &helpColumn{width: width/2 - 2}
	}
	left.actions(env, right)
	if h.from == screen.Board || h.from == screen.Station {
		right.stateWords(env)
	}
	if h.from == screen.Board {
		left.barParts(env)
	}
	if left == right {
		return left.rows
	}
	return beside(left.rows, right.rows, width/2)
}

func beside(a, b []helpRow, x int) []helpRow {
	out := make([]helpRow, max(len(a), len(b)))
	copy(out, a)
	for i, r := range b {
		for _, p := range r {
			p.x += x
			out[i] = append(out[i], p)
		}
	}
	return out
}

const helpKeyWidth = 11

func (c *helpColumn) heading(text string) {
	if len(c.rows) > 0 {
		c.rows = append(c.rows, nil)
	}
	c.rows = append(c.rows, helpRow{{1, theme.Strong, text}})
}

// pair adds a name and what it means, over as many lines as it needs.
func (c *helpColumn) pair(name string, role theme.Role, text string) {
	for i, line := range canvas.Wrap(text, c.width-helpKeyWidth-2) {
		r := helpRow{{helpKeyWidth + 2, role, line}}
		if i == 0 {
			r = append(r, helpPiece{2, theme.Strong, name})
		}
		c.rows = append(c.rows, r)
	}
}

// put adds an action; a long name for its key takes a line of its own.
func (c *helpColumn) put(w *words.Speaker, a *act.Action, why string) {
	name, text := a.Name(w), w.Say(a.Help().Desc)
	if why != "" {
		text += ": " + why
	}
	if canvas.Width(name) > helpKeyWidth-1 {
		c.rows = append(c.rows, helpRow{{2, theme.Strong, name}})
		name = ""
	}
	c.pair(name, theme.Text, text)
}

// actions adds what works, and in another column what does not.
func (c *helpColumn) actions(env *screen.Env, not *helpColumn) {
	c.heading(env.Words.Say("help.works"))
	var idle act.Table
	var reasons []string
	all := env.Asked.Listed()
	for i := range all {
		if why := all[i].WhyNot(&env.Context); why == "" {
			c.put(env.Words, &all[i], "")
		} else {
			idle, reasons = append(idle, all[i]), append(reasons, why)
		}
	}
	if env.End.Stuck != nil {
		not.heading(env.Words.Say("help.stuck"))
		not.pair("", theme.Refuse, env.Words.Problem(env.End.Stuck))
	}
	if len(idle) > 0 {
		not.heading(env.Words.Say("help.does-not"))
	}
	for i := range idle {
		not.put(env.Words, &idle[i], reasons[i])
	}
}

func (c *helpColumn) stateWords(env *screen.Env) {
	c.heading(env.Words.Say("help.words"))
	for _, state := range words.States() {
		c.pair(env.Words.State(state), theme.Text, env.Words.Say("state-means."+string(state)))
	}
}

func (c *helpColumn) barParts(env *screen.Env) {
	g := env.Theme.Glyphs
	c.heading(env.Words.Say("help.bars"))
	for _, p := range [][2]string{
		{strings.Repeat(g.Full, 3), "help.bar-running"},
		{strings.Repeat(g.Kept, 3), "help.bar-kept"},
		{strings.Repeat(g.Start, 3), "help.bar-start"},
		{g.Post, "help.bar-post"},
	} {
		c.pair(p[0], theme.Text, env.Words.Say(p[1]))
	}
}
