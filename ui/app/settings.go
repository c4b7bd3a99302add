package app

import (
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// tongue is the language of the texts; an unknown one is English, since a board in
// the wrong language is better than none.
func tongue(name string) *words.Tongue {
	if t, err := words.NewTongue(name); err == nil {
		return t
	}
	return words.English()
}

// filled puts the defaults where nothing was chosen.
func filled(p screen.Prefs, t theme.Options) screen.Prefs {
	if p.Language == "" {
		p.Language = words.English().Name
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
	m.words = tongue(p.Language)
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
