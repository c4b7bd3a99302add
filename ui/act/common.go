package act

import (
	"strconv"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/words"
)

// Undo takes the last action back and says which that is.
func Undo(c *Context, label string, keys ...string) Action {
	a := Key(label, "does.undo", keys...).Send(line.Undo{})
	if text, ok := c.State.CanUndo(); ok {
		a = a.Does(c.Words.Say("does.undo-that", c.Words.FromEnglish(text)))
	}
	return a
}

// Next makes an action do what a prompt asks for. Before its time it asks once, since
// a machine that is stopped early cannot be un-stopped.
func (a Action) Next(c *Context, p *line.Prompt) Action {
	return a.Send(p.Command).Asks(early(c, p))
}

// early says how much of a countdown a prompt would cut short. What waits for a person
// and not for a countdown is never too early.
func early(c *Context, p *line.Prompt) string {
	if p.From.Station < 0 {
		return ""
	}
	left := p.At.Sub(c.Now)
	if step := c.State.StepAt(p.From); left <= time.Second || step == nil || step.Planned == 0 {
		return ""
	}
	return c.Words.Say("board.too-early", words.Left(left))
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
