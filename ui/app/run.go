package app

import (
	"errors"

	tea "github.com/charmbracelet/bubbletea"
)

// Run shows the board on the terminal until the user leaves. Should the terminal's
// own driver fail, a plain board takes over.
func Run(opt Options) error {
	model := Guarded(opt).(*guard)
	_, err := program(opt, model).Run()
	if !errors.Is(err, tea.ErrProgramPanic) {
		return err
	}
	model.fall(newFault("driver", nil, err))
	_, err = program(opt, model).Run()
	return err
}

func program(opt Options, model tea.Model) *tea.Program {
	// Half of the usual rate: the driver's ticker is most of what an idle board costs.
	options := []tea.ProgramOption{tea.WithAltScreen(), tea.WithFPS(30)}
	if opt.In != nil {
		options = append(options, tea.WithInput(opt.In))
	}
	if opt.Out != nil {
		options = append(options, tea.WithOutput(opt.Out))
	}
	return tea.NewProgram(model, options...)
}
