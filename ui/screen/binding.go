package screen

import (
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/words"
)

// Binding is a key with what it does here and, when it does nothing, why. Both are
// texts of the language files by their key, or sentences that have been said already
// because something had to be filled in.
type Binding struct {
	key.Binding
	Why string // empty: it works now
}

// Bind makes a binding that works. The label is the key's name in English.
func Bind(label, does string, keys ...string) Binding {
	return Binding{Binding: key.NewBinding(key.WithKeys(keys...), key.WithHelp(label, does))}
}

// Unless makes the binding say why it does nothing; an empty reason leaves it on.
func (b Binding) Unless(why string) Binding {
	b.Why = why
	return b
}

// Undo makes a key that takes back say what it would take back, or why nothing.
func (b Binding) Undo(env *Env) Binding {
	text, ok := env.State.CanUndo()
	if !ok {
		return b.Unless("why.no-undo")
	}
	return Bind(b.Help().Key, env.Words.Say("does.undo-that", env.Words.FromEnglish(text)), b.Keys()...)
}

// Name is what people call the key.
func (b Binding) Name(w *words.Speaker) string {
	label := b.Help().Key
	if text := "key." + strings.ReplaceAll(strings.ToLower(label), " ", "-"); w.Has(text) {
		return w.Say(text)
	}
	return label
}

// Does says what the key does.
func (b Binding) Does(w *words.Speaker) string { return w.Say(b.Help().Desc) }

// WhyNot says why the key does nothing now.
func (b Binding) WhyNot(w *words.Speaker) string { return w.Say(b.Why) }

// NotHere tells the person who pressed the key why it does nothing.
func (b Binding) NotHere(w *words.Speaker) tea.Cmd { return Say(w.Say("foot.not-here", b.WhyNot(w))) }
