package app

import (
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// filled puts the defaults where nothing was chosen.
func filled(p screen.Prefs, t theme.Options) screen.Prefs {
	if p.Language == "" {
		p.Language = "en"
	}
	if p.Theme == "" {
		p.Theme = t.Name
	}
	if p.Theme == "" {
		p.Theme = theme.Auto
	}
	return p
}

// prefer takes over the user's choices and keeps them in the background.
func (m *Model) prefer(p screen.Prefs) tea.Cmd {
	m.opt.Prefs = p
	m.words = p.Speaker()
	m.opt.Theme.Name = p.Theme
	m.theme = theme.New(m.opt.Theme)
	keep, say := m.opt.Keep, m.words
	if keep == nil {
		return nil
	}
	return func() tea.Msg {
		if err := keep(p); err != nil {
			return screen.SayMsg{Text: say.Say("frame.settings-not-saved", err.Error()), Refused: true}
		}
		return nil
	}
}
