package board

import (
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
)

var keyActs = screen.Bind("w", "board.acts", "w", "W")

// actsKey names who the key hands the board on to.
func actsKey(env *screen.Env) screen.Binding {
	name, ok := nextPerson(env)
	if !ok {
		return keyActs.Unless("board.why-alone")
	}
	return screen.Bind("w", env.Words.Say("board.acts-next", name), keyActs.Keys()...)
}

// nextPerson is who is on the line after the one who acts now.
func nextPerson(env *screen.Env) (name string, ok bool) {
	crew := env.State.Crew
	now := slices.Index(crew, env.By)
	if len(crew) == 0 || len(crew) == 1 && now == 0 {
		return "", false
	}
	return crew[(now+1)%len(crew)], true
}

// handOn has what is done from now on recorded for the next person.
func handOn(env *screen.Env) tea.Cmd {
	name, ok := nextPerson(env)
	if !ok {
		return screen.Say(env.Words.Say("board.alone"))
	}
	return screen.Do(line.HandOn{To: name})
}
