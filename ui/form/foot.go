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
	return append(all, act.Others("", "").Take(press).Keeps(f.Touched()).Hidden())
}

// Fill is every key while the form is open: leave and send are called when it is left or
// sent.
func (f *Form) Fill(env *screen.Env, leave, send func() tea.Cmd) act.Table {
	return f.Actions(env, func(out Outcome) tea.Cmd {
		switch out {
		case Left:
			return leave()
		case Sent:
			return send()
		}
		return nil
	})
}

// Keys lists what can be pressed in the row at hand.
func (f *Form) Keys() act.Table {
	if len(f.rows) == 0 || f.waits != "" {
		return act.Table{act.Key("/", "form.leave", "/", "esc")}
	}
	r, p := f.rows[f.at], f.now()
	keys := act.Table{act.Key("Enter", f.enterDoes(), "enter")}
	if p != nil && p.chooses() {
		keys = append(keys, act.Key(upTo(p.count()), "does.choose"))
	}
	if f.begun() {
		keys = append(keys, act.Key("esc", "form.leave", "esc"))
	} else {
		keys = append(keys, act.Key("/", "form.leave", "/", "esc"))
	}
	if len(f.lines()) > 1 || len(r.parts) > 1 {
		keys = append(keys, act.Key("+", "form.next-field", "+", "tab"))
	}
	switch {
	case p == nil || p.chooses():
	case p.letters:
		return append(keys, act.Key("backspace", "form.erase", "backspace"), act.Key("a-z", "does.type"))
	case r.signed() && p.text() == "":
		keys = append(keys, act.Key("-", "form.below-zero", "-"), act.Key("0-9 .", "does.type"))
	case r.Kind == Whole:
		keys = append(keys, act.Key("-", "form.erase", "-", "backspace"), act.Key("0-9", "does.type"))
	default:
		keys = append(keys, act.Key("-", "form.erase", "-", "backspace"), act.Key("0-9 .", "does.type"))
	}
	return append(keys, act.Key("?", "does.help", "?"))
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
	case at == len(lines)-1 && f.Sends != "":
		return f.Sends
	case at == len(lines)-1:
		return "does.confirm"
	}
	return "does.next"
}
