package app

import (
	tea "github.com/charmbracelet/bubbletea"
)

// Run shows the board on the terminal until the user leaves.
func Run(opt Options) error {
	options := []tea.ProgramOption{tea.WithAltScreen()}
	if opt.In != nil {
		options = append(options, tea.WithInput(opt.In))
	}
	if opt.Out != nil {
		options = append(options, tea.WithOutput(opt.Out))
	}
	_, err := tea.NewProgram(New(opt), options...).Run()
	return err
}
