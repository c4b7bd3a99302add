package act

import (
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/canvas"
)

// Table is every action that there is here and now. The first one that has a key
// answers it.
type Table []Action

// Press answers a key: it does what the key does, or says why not. handled is false
// where no action has the key.
func (t Table) Press(c *Context, k tea.KeyMsg) (cmd tea.Cmd, handled bool) {
	for i := range t {
		if t[i].others || key.Matches(k, t[i].Binding) {
			return t[i].press(c, k), true
		}
	}
	return nil, false
}

// Closed says that the table answers every key, as where something is typed.
func (t Table) Closed() bool { return slices.ContainsFunc(t, func(a Action) bool { return a.others }) }

// Keeps says that something is typed.
func (t Table) Keeps() bool { return slices.ContainsFunc(t, func(a Action) bool { return a.keeps }) }

// Unless gives every action the same reason.
func (t Table) Unless(why string) Table {
	for i := range t {
		t[i] = t[i].Unless(why)
	}
	return t
}

// Listed is the actions that are shown to people, each key once.
func (t Table) Listed() Table {
	var out Table
	for _, a := range t {
		if !a.hidden && out.Index(a) < 0 {
			out = append(out, a)
		}
	}
	return out
}

// Index is the place of the action with the label of another one's key, or -1.
func (t Table) Index(a Action) int {
	return slices.IndexFunc(t, func(o Action) bool { return o.Help().Key == a.Help().Key })
}

// Foot lists the actions that work now, as many as fit into the width. Those in last
// are always there, at the end.
func (t Table) Foot(c *Context, width int, last ...Action) string {
	var tail []string
	for i := range last {
		label := last[i].Label(c.Words)
		width -= canvas.Width(label) + 3
		tail = append(tail, label)
	}
	var parts []string
	used := 0
	for _, a := range t.Listed() {
		if Table(last).Index(a) >= 0 || a.WhyNot(c) != "" {
			continue
		}
		label := a.Label(c.Words)
		if used += canvas.Width(label) + 3; used > width+3 {
			break
		}
		parts = append(parts, label)
	}
	return strings.Join(append(parts, tail...), "   ")
}
