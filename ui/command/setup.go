package command

import (
	"context"
	"path/filepath"

	"shedbell/line/say"
	"shedbell/ui/setup"
	"shedbell/ui/theme"
)

// FirstFunc says that nothing is set up yet, and asks how to begin.
type FirstFunc func(context.Context, setup.Options) (setup.Begin, error)

// SetupFunc asks for a line file and returns when the person has written it or left.
type SetupFunc func(context.Context, setup.Options) error

type setupCmd struct{}

func (setupCmd) Run(a *app) error {
	if !a.env.Terminal || a.env.Setup == nil {
		return &exitError{ExitNoTerminal, say.New("cmd.setup-terminal")}
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
		return say.Error("cmd.empty-file", path)
	}
	o := a.setupOptions()
	o.Path, o.Data = path, in.line.data
	return a.env.Setup(a.ctx, o)
}

// setupOptions are how the questions are shown.
func (a *app) setupOptions() setup.Options {
	dir, _ := a.folder()
	liked, _ := LoadPrefs(dir, a.env.Getenv) // the board says what is wrong with them
	return setup.Options{Theme: theme.Detect(liked.Theme), Words: a.words, Prefs: liked, In: a.env.Stdin, Out: a.env.Stdout}
}
