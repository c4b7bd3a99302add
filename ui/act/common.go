package act

import (
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/words"
)

// Next makes an action do what a prompt asks for. Before its time it asks once.
func (a Action) Next(c *Context, p *line.Prompt) Action {
	return a.Send(p.Command).Asks(early(c, p))
}

// early says how much of a countdown a prompt would cut short, or how short work by hand
// would have been.
func early(c *Context, p *line.Prompt) string {
	if p.From.Station >= 0 && c.State.Hasty(p.From, c.Now) {
		return c.Words.Say("board.too-quick", words.Left(c.State.StepAt(p.From).Ran(c.Now)))
	}
	if left := p.CutsShort(c.State, c.Now); left > 0 {
		return c.Words.Say("board.too-early", words.Left(left))
	}
	return ""
}

// mostDigits is how many things digits can choose from.
const mostDigits = 9

// Choose makes an action that chooses one of n things by its digit.
func Choose(c *Context, does string, n int, choose func(i int) tea.Cmd) Action {
	keys := make([]string, mostDigits)
	for i := range keys {
		keys[i] = strconv.Itoa(i + 1)
	}
	label := "1"
	if n > 1 {
		label = "1-" + keys[min(n, mostDigits)-1]
	}
	return Key(label, does, keys...).Take(func(k tea.KeyMsg) tea.Cmd {
		i, _ := strconv.Atoi(k.String())
		if i > n {
			return Say(c.Words.Say("foot.no-number", k.String()))
		}
		return choose(i - 1)
	})
}

// Change does something that moves a value, and says why not where it stays as it is.
func Change[T comparable](c *Context, value *T, why string, do func()) tea.Cmd {
	was := *value
	if do(); *value == was {
		return NotHere(c, why)
	}
	return nil
}

// Mark is Choose where at is the one at hand.
func Mark(c *Context, does string, at *int, n int) Action {
	return Choose(c, does, n, func(i int) tea.Cmd {
		if i == *at {
			return NotHere(c, "why.chosen")
		}
		*at = i
		return nil
	})
}

// Steps makes the keys that go forth and back through something: + and the arrow down,
// - and the arrow up. The first one is listed for both.
func Steps(does string, move func(by int) tea.Cmd) Table {
	return Table{
		Key("+ -", does, "+", "=", "down", "j").Run(func() tea.Cmd { return move(1) }),
		Key("-", does, "-", "up", "k").Run(func() tea.Cmd { return move(-1) }).Hidden(),
	}
}

// Round makes Steps go through n things, round and round; at is the one at hand.
func Round(does string, at *int, n int) Table {
	t := Steps(does, func(by int) tea.Cmd { *at = (*at + by + n) % n; return nil })
	if n < 2 {
		return t.Unless("why.only-one")
	}
	return t
}

// Arrows makes the arrow keys go through n things, round and round, where + and - mean
// something else.
func Arrows(at *int, n int) Table {
	t := Round("", at, n)
	t[0].SetKeys("down", "j")
	t[1].SetKeys("up", "k")
	t[0] = t[0].Hidden()
	return t
}

// Scroll makes the keys that go through rows that do not all fit. top is the first one
// shown, last the highest that it may be, page how many fit.
func Scroll(c *Context, top *int, last, page int) Table {
	move := func(by int) tea.Cmd {
		was := min(*top, last)
		if *top = min(max(was+by, 0), last); *top != was {
			return nil
		}
		if by > 0 {
			return NotHere(c, "why.at-end")
		}
		return NotHere(c, "why.at-top")
	}
	page = max(1, page-1)
	t := append(Steps("does.scroll", move),
		Key("page down", "does.page-on", "pgdown", " ").Run(func() tea.Cmd { return move(page) }).Hidden(),
		Key("page up", "does.page-back", "pgup").Run(func() tea.Cmd { return move(-page) }).Hidden())
	if last == 0 {
		return t.Unless("why.all-shown")
	}
	return t
}
