package board

import (
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
)

var keyTrouble = screen.Bind("b", "board.trouble", "b", "B")

// trouble writes one down at the chosen station, or in the shed as a whole.
func trouble(env *screen.Env) tea.Cmd {
	at := line.Nowhere
	if env.Focus.Set {
		at = env.Focus.Place
	}
	return func() tea.Msg { return screen.OpenMsg{Name: screen.Backlog, About: at} }
}
