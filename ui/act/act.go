// Package act is the one record of what a key does: which keys, what it is called,
// what it asks of the line or opens, and why it does nothing now. Whoever answers
// keys, lists them or explains them reads the same table, and whether a command is
// allowed is answered by line.Decide alone.
package act

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/words"
)

// Action is something that a key does here and now. Its labels, and the reason why it
// does nothing, are texts of the language files by their key, or sentences that have
// been said already because something had to be filled in.
type Action struct {
	key.Binding
	Why string // the screen's own reason why it does nothing; empty: none

	sends  []line.Command
	run    func(k tea.KeyMsg) tea.Cmd // in place of sending; nil: it sends
	opens  bool                       // run asks for what is missing before anything is sent
	asks   string                     // what the foot asks; the same key again does it
	acts   bool                       // it changes the line, sooner or later
	others bool                       // it answers every key that nothing before it answers
	hidden bool                       // it is in no list, since another action's label covers it
	keeps  bool                       // something is typed that must not be lost
}

// Key makes an action of some keys that does nothing yet. The label is the key's name
// in English.
func Key(label, does string, keys ...string) Action {
	return Action{Binding: key.NewBinding(key.WithKeys(keys...), key.WithHelp(label, does))}
}

// Others makes an action that answers every key that no action before it answers, so
// that a table with it is closed: the frame's own keys do nothing there.
func Others(label, does string) Action {
	a := Key(label, does)
	a.others = true
	return a
}

// Send has the action put commands to the line. What the line says no to is its reason
// why not.
func (a Action) Send(c ...line.Command) Action {
	a.sends, a.acts = c, true
	return a
}

// Run has the action call a function. After Send, it does so in place of sending.
func (a Action) Run(fn func() tea.Cmd) Action {
	a.run = func(tea.KeyMsg) tea.Cmd { return fn() }
	return a
}

// Take has the action call a function with the key that was pressed.
func (a Action) Take(fn func(k tea.KeyMsg) tea.Cmd) Action {
	a.run = fn
	return a
}

// Do has the action change something on the screen.
func (a Action) Do(fn func()) Action {
	return a.Run(func() tea.Cmd { fn(); return nil })
}

// Tell has the action send the frame a message, such as screen.OpenMsg.
func (a Action) Tell(msg tea.Msg) Action {
	return a.Run(func() tea.Cmd { return func() tea.Msg { return msg } })
}

// First has the action open a form or a question before it sends anything. What it
// sends then is an example, to learn whether it would be allowed.
func (a Action) First(open func()) Action {
	a = a.Do(open)
	a.opens = true
	return a
}

// Acting marks an action that changes the line without a command of its own.
func (a Action) Acting() Action {
	a.acts = true
	return a
}

// Asks has the action ask at the foot first; the same key again within MeantFor does
// it. Without a text it asks nothing.
func (a Action) Asks(text string) Action {
	a.asks = text
	return a
}

// Keeps marks an action of a form in which something is typed, which is left by a key
// only.
func (a Action) Keeps(typed bool) Action {
	a.keeps = typed
	return a
}

// Unless makes the action say why it does nothing; an empty reason leaves it on.
func (a Action) Unless(why string) Action {
	if a.Why == "" {
		a.Why = why
	}
	return a
}

// Does gives the action another label.
func (a Action) Does(text string) Action {
	a.SetHelp(a.Help().Key, text)
	return a
}

// Hidden leaves the action out of lists: another one's label tells of it.
func (a Action) Hidden() Action {
	a.hidden = true
	return a
}

// Name is what people call the key.
func (a *Action) Name(w *words.Speaker) string {
	label := a.Help().Key
	if text := "key." + strings.ReplaceAll(strings.ToLower(label), " ", "-"); w.Has(text) {
		return w.Say(text)
	}
	return label
}

// Label is the key and what it does.
func (a *Action) Label(w *words.Speaker) string { return a.Name(w) + " " + w.Say(a.Help().Desc) }

// WhyNot says why the action does nothing now; it is empty where it works.
func (a *Action) WhyNot(c *Context) string {
	switch {
	case a.acts && c.Watching.On():
		return c.Words.Say("why.watching")
	case a.Why != "":
		return c.Words.Say(a.Why)
	}
	if no := a.refused(c); no != nil {
		return strings.TrimSuffix(c.Words.Speech(no.Reason()), ".")
	}
	return ""
}

// refused asks the line for its answer to what the action sends.
func (a *Action) refused(c *Context) *line.Refusal {
	state := c.State
	for i, command := range a.sends {
		if i < len(a.sends)-1 { // each is decided after those before it
			next, _, no := line.Do(state, command, c.Now, c.By)
			if no != nil {
				return no
			}
			state = next
		} else if _, no := line.Decide(state, command, c.Now); no != nil {
			return no
		}
	}
	return nil
}

// Refused is why the line would refuse a command now, and empty where it would not.
func Refused(c *Context, command line.Command) string {
	if _, no := line.Decide(c.State, command, c.Now); no != nil {
		return c.Words.Refusal(no)
	}
	return ""
}

// press does it, or says why not. A command that is refused goes to the line all the
// same, which says so and keeps it for the records.
func (a *Action) press(c *Context, k tea.KeyMsg) tea.Cmd {
	switch {
	case a.acts && c.Watching.On():
		return refuse(c.Words.Say("foot.not-from-here", c.Watching.Line(c.Words)))
	case a.Why != "":
		return NotHere(c, a.Why)
	}
	if no := a.refused(c); no != nil {
		if a.opens {
			return refuse(c.Words.Refusal(no))
		}
		return Do(a.sends...)
	}
	if a.asks != "" && !c.asked(a.ID()) {
		return func() tea.Msg { return SayMsg{Text: a.asks, Asks: a.ID()} }
	}
	if a.run != nil {
		return a.run(k)
	}
	return Do(a.sends...)
}

func refuse(text string) tea.Cmd { return func() tea.Msg { return SayMsg{Text: text, Refused: true} } }

// ID tells an action from every other: the key, and what it would send.
func (a *Action) ID() string {
	id := a.Help().Key + " " + a.Help().Desc
	for _, command := range a.sends {
		id += fmt.Sprintf(" %T%+v", command, command)
	}
	return id
}
