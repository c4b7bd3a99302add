package start

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"

	"shedbell/line/journal"
	"shedbell/line/live"
	"shedbell/line/say"
	"shedbell/ui/app"
	"shedbell/ui/command"
	"shedbell/ui/screen"
	"shedbell/ui/serve"
	"shedbell/ui/theme"
)

// Serve opens the line and serves it over SSH. With a terminal the board is shown
// on it too and leaving it ends everything; without one, the end of ctx does.
func Serve(ctx context.Context, o command.ServeOptions) (err error) {
	l, notice, err := openLine(o.BoardOptions)
	if locked, ok := errors.AsType[journal.ErrLocked](err); ok {
		return say.Error("served.run-by", locked.Holder)
	}
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, l.Close()) }()
	var beside listener
	notice = append(notice, beside.open(o.BoardOptions, l)...)
	defer func() { err = errors.Join(err, beside.close()) }()
	liked, err := prefs(o.BoardOptions)
	if err != nil {
		notice = unused(liked, err)
	}
	log, file, err := serve.OpenLog(serve.LogFile(o.Folder))
	if err != nil {
		return say.Error("served.no-log", err)
	}
	defer file.Close()
	srv, err := serve.New(serve.Options{Line: l, HostKey: serve.HostKeyFile(o.Folder), Keys: o.Keys, Log: log,
		Speed: o.Speed, Prefs: liked, Theme: liked.Theme, Suggest: o.Suggest, Past: past(o.Folder), Recent: recent(o.Folder), Faults: o.Folder, Measured: beside.measured(o.BoardOptions)})
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", o.Listen)
	if err != nil {
		return say.Error("served.no-listen", o.Listen, err)
	}
	log.Info("serving", "listen", listener.Addr().String(), "host key", srv.Fingerprint(), "board", o.Terminal)
	word := say.Speech{say.New("served.on", listener.Addr().String(), srv.Fingerprint())}
	if !alone(listener.Addr()) {
		log.Warn("not only this machine can reach the address", "listen", listener.Addr().String())
		word = append(word, say.New("served.others"))
	}
	failed := make(chan error, 1)
	go func() { failed <- srv.Serve(listener) }()
	if o.Terminal {
		err = boardBeside(o, l, srv, liked, append(notice, word...), beside.measured(o.BoardOptions))
	} else {
		err = unattended(ctx, o.Out, liked.Speaker().Speech(append(word, say.New("served.no-terminal"))), log, failed)
	}
	return errors.Join(err, srv.Close())
}

// boardBeside shows the board here, at the seat that the line falls back to.
func boardBeside(o command.ServeOptions, l *live.Line, srv *serve.Server, liked screen.Prefs, notice say.Speech, measured screen.Measured) error {
	seat := l.Sit(live.SeatOptions{Name: "the board in the shed", Acts: true, Home: true})
	defer seat.Leave()
	if err := seat.Take(); err != nil { // somebody may have come in before
		return err
	}
	out := shared(o.Out)
	return app.Run(app.Options{Line: serve.Place{Seat: seat}, Theme: theme.Detect(liked.Theme), Notice: notice, Speed: o.Speed,
		Prefs: liked, Keep: func(p screen.Prefs) error { return command.SavePrefs(o.Folder, p) }, Ring: ringer(out),
		Suggest: o.Suggest, Past: past(o.Folder), Recent: recent(o.Folder), Faults: o.Folder, In: o.In, Out: out, Forecast: srv.Forecast, Measured: measured})
}

// unattended waits for the end.
func unattended(ctx context.Context, out io.Writer, word string, log *slog.Logger, failed <-chan error) error {
	fmt.Fprintln(out, word)
	log.Info("no terminal: serving only")
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
		log.Info("asked to end")
		return nil
	}
}

// alone says whether only this machine reaches an address.
func alone(a net.Addr) bool {
	tcp, ok := a.(*net.TCPAddr)
	return ok && tcp.IP.IsLoopback()
}
