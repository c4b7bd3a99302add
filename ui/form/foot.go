package form

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/act"
	"shedbell/ui/screen"
)

// Actions is every key while the form is open. done hears what a key has come to.
func (f *Form) Actions(env *screen.Env, done func(Outcome) tea.Cmd) act.Table {
	press := func(k tea.KeyMsg) tea.Cmd {
		out, cmd := f.Update(env, k)
		return tea.Batch(cmd, done(out))
	}
	var all act.Table
	for _, k := range f.Keys() {
		all = append(all, k.Take(press))
	}
	return append(all, act.Others("", "").Take(press).Hidden())
}

// Keys lists what can be pressed in the row at hand.
func (f *Form) Keys() []screen.Binding {
	if len(f.rows) == 0 || f.waits != "" {
		return []screen.Binding{screen.Bind("/", "form.leave", "/", "esc")}
	}
	r, p := f.rows[f.at], f.now()
	leave := screen.Bind("/", "form.leave", "/", "esc")
	if f.begun() {
		leave = screen.Bind("esc", "form.leave", "esc")
	}
	keys := []screen.Binding{screen.Bind("Enter", f.enterDoes(), "enter")}
	switch {
	case p == nil:
	case p.letters:
		keys = append(keys, screen.Bind("a-z", "does.type"), leave, screen.Bind("backspace", "form.erase", "backspace"))
	case p.chooses():
		keys = append(keys, screen.Bind(upTo(p.count()), "does.choose"), leave)
	default:
		digits := "0-9 ."
		if r.Kind == Whole {
			digits = "0-9"
		}
		erase := screen.Bind("-", "form.erase", "-", "backspace")
		if r.signed() && p.text() == "" {
			erase = screen.Bind("-", "form.below-zero", "-")
		}
		keys = append(keys, screen.Bind(digits, "does.type"), leave, erase)
	}
	if p == nil {
		keys = append(keys, leave)
	}
	if len(f.lines()) > 1 || len(r.parts) > 1 {
		keys = append(keys, screen.Bind("+", "form.next-field", "+", "tab"))
	}
	if f.letters() {
		return keys
	}
	return append(keys, screen.Bind("?", "does.help", "?"))
}

// upTo names the digits that choose one of n.
func upTo(n int) string {
	if n == 1 {
		return "1"
	}
	return fmt.Sprintf("1-%d", n)
}

// enterDoes is what Enter does in the row at hand.
func (f *Form) enterDoes() string {
	lines := f.lines()
	at, _ := f.line(lines)
	switch r := f.rows[f.at]; {
	case r.Kind == Send:
		return r.Label
	case at == len(lines)-1:
		return "does.confirm"
	}
	return "does.next"
}
