package start

import (
	"context"
	"errors"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/live"
	"shedbell/line/say"
	"shedbell/ui/app"
	"shedbell/ui/command"
	"shedbell/ui/screen"
	"shedbell/ui/serve"
	"shedbell/ui/theme"
)

// Watch shows the line of a data folder while another program runs it.
func Watch(o command.BoardOptions) error { return follow(o, nil) }

// watchBeside shows the line where the board was asked for and another program has
// it.
func watchBeside(o command.BoardOptions, locked journal.ErrLocked) error {
	err := follow(o, say.Speech{say.New("served.already", locked.Holder)})
	if err != nil {
		return errors.Join(locked, err)
	}
	return nil
}

func follow(o command.BoardOptions, notice say.Speech) error {
	var beside listener
	w, err := serve.NewWatch(serve.WatchOptions{Folder: o.Folder, Site: o.Site, Book: o.Book, Now: o.Now,
		Open: func() (*live.Line, say.Speech, error) {
			l, notice, err := openLine(o)
			if err == nil {
				notice = append(notice, beside.open(o, l)...)
			}
			return l, notice, err
		}})
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(context.Background())
	go w.Run(ctx)
	liked, _ := prefs(o) // the board's program says what is wrong with them
	out := shared(o.Out)
	ring := ringer(out)
	err = app.Run(app.Options{Line: w, Theme: theme.Detect(liked.Theme), Notice: notice, Speed: o.Speed, Prefs: liked,
		Ring: func(p screen.Prefs, how line.Priority, text string) { // the board rings itself, while it has the line
			if !w.Watching().On() {
				ring(p, how, text)
			}
		},
		Suggest: o.Suggest, Past: past(o.Folder), Recent: recent(o.Folder), Faults: o.Folder, In: o.In, Out: out})
	stop()
	return errors.Join(err, beside.close(), w.Close())
}
