package command

import (
	"fmt"
	"path/filepath"

	"shedbell/ui/setup"
	"shedbell/ui/theme"
)

// SetupFunc asks for a line file and returns when the person has written it or left.
type SetupFunc func(setup.Options) error

type setupCmd struct{}

// Help is shown after the summary of the flags.
func (setupCmd) Help() string {
	return `Asks what is written on the panel, on each machine's plate and on the outlets, tells at once whether a machine can run on its circuit and what its start does there, and shows at the end what can run together. Without a line file it asks for everything in turn; else it asks what to change, to add or to take away, and leaves the rest of the file and its comments as they are. It asks in the language of the settings, else of the environment (LANG).

Nothing is written before the end. The file that was there is kept beside the new one as line.toml.1, line.toml.2 and so on. / goes back to the question before; ctrl+c twice leaves with nothing written.

` + caution
}

func (setupCmd) Run(a *app) error {
	if !a.env.Terminal || a.env.Setup == nil {
		return &exitError{ExitNoTerminal, "set-up asks questions on a terminal, and there is none here.\n" +
			"Write the line file by hand, and have it checked: shedbell check"}
	}
	in := a.readFiles()
	if len(in.faults) > 0 {
		return &faultsError{in.faults}
	}
	dir, err := a.folder()
	if err != nil {
		return err
	}
	path := in.line.name
	if !in.line.found {
		path = filepath.Join(dir, "line.toml")
	}
	if len(in.line.data) == 0 && in.line.found {
		return fmt.Errorf("%s is empty. Take it away, and set-up begins a new one", path)
	}
	liked, _ := LoadPrefs(dir, a.env.Getenv) // the board says what is wrong with them
	return a.env.Setup(setup.Options{Path: path, Data: in.line.data, Theme: theme.Detect(liked.Theme), Words: liked.Speaker(), Prefs: liked,
		In: a.env.Stdin, Out: a.env.Stdout})
}
