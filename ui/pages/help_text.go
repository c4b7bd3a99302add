package pages

import (
	"strings"

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
	left.works(env)
	right.doesNot(env)
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

// put adds a key; a long name for it takes a line of its own.
func (c *helpColumn) put(w *words.Speaker, b screen.Binding) {
	name, text := b.Name(w), b.Does(w)
	if b.Why != "" {
		text += ": " + b.WhyNot(w)
	}
	if canvas.Width(name) > helpKeyWidth-1 {
		c.rows = append(c.rows, helpRow{{2, theme.Strong, name}})
		name = ""
	}
	c.pair(name, theme.Text, text)
}

func (c *helpColumn) works(env *screen.Env) {
	c.heading(env.Words.Say("help.works"))
	for _, b := range orderedKeys(env) {
		if b.Why == "" {
			c.put(env.Words, b)
		}
	}
}

// orderedKeys is the screen's keys and then those of the frame that it has not named
// itself.
func orderedKeys(env *screen.Env) []screen.Binding {
	seen := map[string]bool{}
	var out []screen.Binding
	for _, list := range [][]screen.Binding{env.Asked, env.Global} {
		for _, b := range list {
			if name := b.Help().Key; !seen[name] {
				seen[name] = true
				out = append(out, b)
			}
		}
	}
	return out
}

func (c *helpColumn) doesNot(env *screen.Env) {
	if env.End.Stuck != nil {
		c.heading(env.Words.Say("help.stuck"))
		c.pair("", theme.Refuse, env.Words.Problem(env.End.Stuck))
	}
	first := true
	for _, b := range orderedKeys(env) {
		if b.Why == "" {
			continue
		}
		if first {
			c.heading(env.Words.Say("help.does-not"))
			first = false
		}
		c.put(env.Words, b)
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
