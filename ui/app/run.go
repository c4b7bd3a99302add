package app

import (
	"errors"
	"os"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/ui/canvas"
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
	out := opt.Out
	if out == nil {
		out = os.Stdout
	}
	screen := canvas.NewTerminal(out)
	options := screen.Options()
	if opt.In != nil {
		options = append(options, tea.WithInput(opt.In))
	}
	return tea.NewProgram(screen.Model(model), options...)
}
