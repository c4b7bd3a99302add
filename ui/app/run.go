package app

import (
	tea "github.com/charmbracelet/bubbletea"
)

// Run shows the board on the terminal until the user leaves.
func Run(opt Options) error {
	_, err := tea.NewProgram(New(opt), tea.WithAltScreen()).Run()
	return err
}
