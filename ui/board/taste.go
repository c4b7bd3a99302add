package board

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/screen"
)

// tasteKey is the key that tastes the batch packed last. It is offered early while
// nobody has tasted that one.
func tasteKey(env *screen.Env) (k screen.Binding, offer bool) {
	p, ok := env.State.LastPacked()
	if !ok {
		return keyTaste.Unless("board.why-none-packed"), false
	}
	fresh := env.State.Sheet != nil && len(env.State.TastingsOf(&p.Ran)) == 0
	name, _, _ := strings.Cut(p.Ran.Batch, " of ")
	return screen.Bind("t", env.Words.Say("board.taste-that", name), keyTaste.Keys()...), fresh
}

func taste(env *screen.Env) tea.Cmd {
	p, ok := env.State.LastPacked()
	if !ok {
		return screen.Say(env.Words.Say("board.none-packed"))
	}
	return func() tea.Msg { return screen.OpenMsg{Name: screen.Recipes, Batch: p.ID} }
}
