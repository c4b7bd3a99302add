package start

import (
	"context"
	"errors"

	"shedbell/line/journal"
	"shedbell/line/live"
	"shedbell/ui/app"
	"shedbell/ui/command"
	"shedbell/ui/theme"
	"shedbell/ui/watch"
)

// Watch shows the line of a data folder while another program runs it.
func Watch(o command.BoardOptions) error { return follow(o, "") }

// watchBeside shows the line where the board was asked for and another program has
// it.
func watchBeside(o command.BoardOptions, locked journal.ErrLocked) error {
	err := follow(o, "Already open: the line is run by "+locked.Holder.String()+". This screen watches.")
	if err != nil {
		return errors.Join(locked, err)
	}
	return nil
}

func follow(o command.BoardOptions, notice string) error {
	w, err := watch.New(watch.Options{Folder: o.Folder, Site: o.Site, Book: o.Book, Now: o.Now,
		Open: func() (*live.Line, string, error) { return openLine(o) }})
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(context.Background())
	go w.Run(ctx)
	err = app.Run(app.Options{Line: w, Theme: theme.Detect(theme.Auto), Notice: notice, Speed: o.Speed,
		Suggest: o.Suggest, Past: past(o.Folder), In: o.In, Out: o.Out})
	stop()
	return errors.Join(err, w.Close())
}
