package help

import (
	"strings"

	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// titles name the screens where their own name would not read well.
var titles = map[screen.Name]string{
	screen.Board:   "the board",
	screen.Menu:    "other screens",
	screen.Day:     "the day's crops",
	screen.Station: "one station",
	screen.Log:     "the log",
	screen.Power:   "power",
	screen.Plan:    "the plan",
	screen.Recipes: "recipes",
	screen.Records: "records",
	screen.CleanUp: "clean-up",
	screen.Backlog: "the backlog",
}

type piece struct {
	x    int
	role theme.Role
	text string
}

type row []piece

// column collects lines of a given width.
type column struct {
	width int
	rows  []row
}

// From this width on, what works is beside what does not.
const twoColumnsFrom = 110

func (h *Help) lines(env *screen.Env, width int) []row {
	left := &column{width: width - 2}
	right := left
	if width >= twoColumnsFrom {
		left = &column{width: width/2 - 2}
		right = &column{width: width/2 - 2}
	}
	left.works(env)
	right.doesNot(env)
	if h.from == screen.Board || h.from == screen.Station {
		right.stateWords()
	}
	if h.from == screen.Board {
		left.barParts(env)
	}
	if left == right {
		return left.rows
	}
	return beside(left.rows, right.rows, width/2)
}

func beside(a, b []row, x int) []row {
	out := make([]row, max(len(a), len(b)))
	copy(out, a)
	for i, r := range b {
		for _, p := range r {
			p.x += x
			out[i] = append(out[i], p)
		}
	}
	return out
}

const keyWidth = 11

func (c *column) heading(text string) {
	if len(c.rows) > 0 {
		c.rows = append(c.rows, nil)
	}
	c.rows = append(c.rows, row{{1, theme.Strong, text}})
}

// pair adds a name and what it means, over as many lines as it needs.
func (c *column) pair(name string, role theme.Role, text string) {
	for i, line := range canvas.Wrap(text, c.width-keyWidth-2) {
		r := row{{keyWidth + 2, role, line}}
		if i == 0 {
			r = append(r, piece{2, theme.Strong, name})
		}
		c.rows = append(c.rows, r)
	}
}

// put adds a key; a long name for it takes a line of its own.
func (c *column) put(w *words.Tongue, b screen.Binding) {
	name, text := b.Name(w), b.Does(w)
	if b.Why != "" {
		text += ": " + b.WhyNot(w)
	}
	if canvas.Width(name) > keyWidth-1 {
		c.rows = append(c.rows, row{{2, theme.Strong, name}})
		name = ""
	}
	c.pair(name, theme.Text, text)
}

func (c *column) works(env *screen.Env) {
	c.heading("Works now")
	for _, b := range ordered(env) {
		if b.Why == "" {
			c.put(env.Words, b)
		}
	}
}

// ordered is the screen's keys and then those of the frame that it has not named
// itself.
func ordered(env *screen.Env) []screen.Binding {
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

func (c *column) doesNot(env *screen.Env) {
	if env.End.Stuck != "" {
		c.heading("Why the day cannot end")
		c.pair("", theme.Refuse, env.End.Stuck)
	}
	first := true
	for _, b := range ordered(env) {
		if b.Why == "" {
			continue
		}
		if first {
			c.heading("Does nothing now, because")
			first = false
		}
		c.put(env.Words, b)
	}
}

func (c *column) stateWords() {
	c.heading("The words")
	for _, w := range []struct {
		state words.State
		means string
	}{
		{words.Free, "nothing is there"},
		{words.Loaded, "greens are in, not started"},
		{words.Running, "the clock shows how long is left"},
		{words.Due, "time is over; say that the machine is off"},
		{words.ByHand, "a person works on it; the clock counts up"},
		{words.Held, "stopped for now, the machine is off"},
		{words.WaitsWet, "wet greens wait; how long already"},
		{words.Waits, "ready for the next step"},
		{words.Ask, "ran while nobody watched; say what became of it"},
		{words.Broken, "out of use"},
	} {
		c.pair(string(w.state), theme.Text, w.means)
	}
}

func (c *column) barParts(env *screen.Env) {
	g := env.Theme.Glyphs
	c.heading("The bars of amps")
	for _, p := range [][2]string{
		{strings.Repeat(g.Full, 3), "runs now"},
		{strings.Repeat(g.Kept, 3), "kept free for what starts by itself"},
		{strings.Repeat(g.Start, 3), "for a moment, while a machine starts"},
		{g.Post, "the breaker"},
	} {
		c.pair(p[0], theme.Text, p[1])
	}
}
