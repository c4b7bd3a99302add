package app

import (
	"maps"
	"slices"

	"shedbell/ui/screen"
)

// names lists the screens that there are. What ran while nobody watched is one
// only while somebody has to say what became of it.
func (m *Model) names() []screen.Name {
	names := slices.Sorted(maps.Keys(m.set))
	if !m.waits {
		names = slices.DeleteFunc(names, func(n screen.Name) bool { return n == screen.Recovery })
	}
	if m.opt.Begin != nil {
		names = append(names, screen.Begin)
	}
	return names
}

// leave goes back to a screen as it was left, by default the board.
func (m *Model) leave(to screen.Name) {
	m.active = screen.Board
	if _, ok := m.set[to]; ok {
		m.active = to
	}
}
