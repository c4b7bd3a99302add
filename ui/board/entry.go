package board

import (
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// entry asks for what a batch was packed into: packages, then the net weight. Both
// have what the recipe expects as their default, so that Enter is enough.
type entry struct {
	at       line.Place
	batch    string
	packages string
	grams    string
	field    int // 0: packages, 1: grams
	expect   int
	weight   float64
	packageG float64
}

func newEntry(env *screen.Env, p *line.Prompt) *entry {
	b := env.State.Batch(p.Batch)
	e := &entry{at: p.From, batch: b.Shout()}
	if r, ok := env.State.Recipe(b.Crop); ok {
		e.packageG = r.PackageG
		e.weight = r.YieldG * float64(b.Trays)
		if r.PackageG > 0 {
			e.expect = int(e.weight / r.PackageG)
			e.weight = float64(e.expect) * r.PackageG
		}
	}
	return e
}

// key takes a key. The entry stays until the line has taken what was typed.
func (e *entry) key(_ *screen.Env, k tea.KeyMsg) (cmd tea.Cmd, done bool) {
	field := &e.packages
	if e.field == 1 {
		field = &e.grams
	}
	switch s := k.String(); {
	case s == "enter":
		if e.field == 0 {
			e.field = 1
			return nil, false
		}
		return screen.Do(e.command()), false
	case s == "tab" || s == "/" || s == "down" || s == "up":
		e.field = 1 - e.field
	case s == "esc" || s == "0" && *field == "":
		return nil, true
	case s == "backspace" || s == "-":
		if *field != "" {
			*field = (*field)[:len(*field)-1]
		}
	case len(s) == 1 && s[0] >= '0' && s[0] <= '9' && len(*field) < 6:
		*field += s
	}
	return nil, false
}

func (e *entry) keys() []screen.Binding {
	leave := screen.Bind("0", "does.back", "0", "esc")
	if e.field == 0 && e.packages != "" || e.field == 1 && e.grams != "" {
		leave = screen.Bind("esc", "does.back", "esc")
	}
	return []screen.Binding{
		screen.Bind("Enter", "does.confirm", "enter"), screen.Bind("0-9", "does.type"), screen.Bind("-", "does.erase", "-", "backspace"),
		screen.Bind("/", "board.other-field", "/", "tab"), leave,
	}
}

func (e *entry) command() line.Command {
	packages, weight := e.values()
	return line.Finish{At: e.at, Packages: packages, NetG: weight}
}

// values are the numbers as they stand, defaults filled in.
func (e *entry) values() (packages int, grams float64) {
	packages, grams = e.expect, e.weight
	if n, err := strconv.Atoi(e.packages); err == nil {
		packages = n
		grams = float64(n) * e.packageG
	}
	if n, err := strconv.ParseFloat(e.grams, 64); err == nil {
		grams = n
	}
	return packages, grams
}

func (e *entry) draw(env *screen.Env, r canvas.Region) {
	packages, grams := e.values()
	label := func(typed, value string) string {
		if typed == "" {
			return env.Words.Say("station.takes", value)
		}
		return typed + r.Theme().Glyphs.Cursor
	}
	r.Put(0, 0, theme.Action, env.Words.Say("board.packed", e.batch))
	for i, row := range []string{
		env.Words.Say("board.packages", label(e.packages, strconv.Itoa(packages))),
		env.Words.Say("board.net-weight", label(e.grams, env.Words.Weight(grams))),
	} {
		role, mark := theme.Text, "  "
		if i == e.field {
			role, mark = theme.Strong, r.Theme().Glyphs.Arrow+" "
		}
		r.Put(0, 1+i, role, mark+row)
	}
	if e.packageG > 0 {
		r.PutRight(r.W, 0, theme.Faint, env.Words.Say("board.a-package", e.packageG))
	}
}
