package screen

import (
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/act"
)

// Binding is an action of a Keyed screen: it says what a key does, and the screen's
// Update does it.
type Binding = act.Action

// Bind makes a binding that works.
func Bind(label, does string, keys ...string) Binding { return act.Key(label, does, keys...) }

// Keyed is a screen that answers keys in Update and lists them apart from that.
type Keyed interface {
	Screen
	Keys(env *Env) []Binding
	// Typing says that letters and digits go into a field, not to shortcuts.
	Typing() bool
}

// Typing says that something is typed, or a question waits for its answer.
func Typing(s Screen, actions act.Table) bool {
	if k, ok := s.(Keyed); ok {
		return k.Typing()
	}
	return actions.Closed()
}

// keyed makes the actions of a Keyed screen. The frame's own keys come first, unless
// something is typed.
func keyed(env *Env, s Keyed) act.Table {
	update := func(k tea.KeyMsg) tea.Cmd { return s.Update(env, k) }
	var out act.Table
	if !s.Typing() {
		out = append(out, env.Global...)
		out = slices.DeleteFunc(out, func(a act.Action) bool { return a.Help().Key == KeyHush.Help().Key })
	}
	for _, b := range s.Keys(env) {
		out = append(out, b.Take(update))
	}
	if !s.Typing() {
		out = append(out, KeyHush) // many have another use for it
	}
	return append(out, act.Others("", "").Take(update).Hidden())
}
