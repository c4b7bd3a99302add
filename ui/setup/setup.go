package setup

import (
	"context"
	"errors"
	"fmt"
	"io"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line/files"
	"shedbell/recipes/strictfile"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

// Options are what a set-up runs with.
type Options struct {
	Path  string // line file to write
	Data  []byte // what is in it, without faults; empty: it is not there yet
	Theme theme.Options
	Words *words.Speaker
	Prefs screen.Prefs
	In    io.Reader // a terminal
	Out   io.Writer
}

// newTalk begins the questions; the result is filled in at their end.
func newTalk(o Options, r *result) (*wizard, error) {
	s := fresh()
	if len(o.Data) > 0 {
		site, faults := files.ReadLine(o.Path, o.Data)
		if len(faults) > 0 {
			return nil, strictfile.Join(faults)
		}
		var err error
		if s, err = load(o.Data, site); err != nil {
			return nil, errors.New(o.Words.Say("setup-end.unreadable", o.Path, err))
		}
	}
	return newWizard(func(ask func(question) answer) {
		t := talk{ask: ask, words: o.Words, s: s.clone(), path: o.Path, result: r}
		t.run()
	}), nil
}

// Run asks on a terminal, and writes the file when the person says so at the end.
// It says what was written and what was kept, or that nothing was.
func Run(ctx context.Context, o Options) error {
	var r result
	talk, err := newTalk(o, &r)
	if err != nil {
		return err
	}
	m := newModel(talk, o.Words, o.Prefs, o.Theme)
	err = o.show(ctx, m)
	talk.stop()
	if err != nil {
		return errors.New(o.Words.Say("setup-end.stopped", err))
	}
	return finish(o, &r)
}

// show runs a model on the terminal until it ends, is interrupted, or ctx is over: a
// terminal that is gone sends nothing more, and would be waited for without end.
func (o *Options) show(ctx context.Context, m tea.Model) error {
	_, err := tea.NewProgram(m, tea.WithContext(ctx), tea.WithAltScreen(), tea.WithInput(canvas.Keys(ctx, o.In, nil)), tea.WithOutput(o.Out)).Run()
	if errors.Is(err, tea.ErrInterrupted) || ctx.Err() != nil {
		return nil
	}
	return err
}

func finish(o Options, r *result) error {
	if !r.write {
		fmt.Fprintln(o.Out, o.Words.Say("setup-end.nothing"))
		return nil
	}
	kept, err := Save(o.Path, []byte(r.data), o.Data)
	switch {
	case errors.Is(err, errChanged):
		return errors.New(o.Words.Say("setup-end.changed", o.Path))
	case err != nil:
		return errors.New(o.Words.Say("setup-end.unsaved", err))
	}
	fmt.Fprintln(o.Out, o.Words.Say("setup-end.written", o.Path))
	if kept != "" {
		fmt.Fprintln(o.Out, o.Words.Say("setup-end.kept", kept))
	}
	fmt.Fprintln(o.Out, o.Words.Say("setup-end.next"))
	return nil
}
