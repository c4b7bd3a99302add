package command

import (
	"context"
	"net"
	"os"
	"path/filepath"
	"strconv"

	"shedbell/line/files"
	"shedbell/line/meter"
	"shedbell/line/say"
)

// ServeFunc runs the line and serves it over SSH until the person has left the
// board or, without a terminal, until the context is over.
type ServeFunc func(ctx context.Context, o ServeOptions) error

// ServeOptions is what the server is started with.
type ServeOptions struct {
	BoardOptions
	Listen   string // address and port
	Keys     string // file with the public keys that may come in
	Terminal bool   // show the board here too
}

type watchCmd struct{}

func (watchCmd) Run(a *app) error {
	if err := a.needTerminal(); err != nil {
		return err
	}
	o, err := a.boardOptions()
	if err != nil {
		return err
	}
	return a.env.Watch(o)
}

type serveCmd struct {
	Listen string `default:"127.0.0.1:2222" placeholder:"ADDRESS:PORT"`
	Keys   string `placeholder:"FILE" complete:"file"`
}

func (c *serveCmd) Run(a *app) error {
	if err := checkAddress(c.Listen); err != nil {
		return err
	}
	o, err := a.boardOptions()
	if err != nil {
		return err
	}
	keys := c.Keys
	if keys == "" {
		keys = filepath.Join(o.Folder, "ssh_keys")
	}
	return a.env.Serve(a.ctx, ServeOptions{BoardOptions: o, Listen: c.Listen, Keys: keys, Terminal: a.env.Terminal})
}

// checkAddress says what is wrong with an address to listen on.
func checkAddress(s string) error {
	host, port, err := net.SplitHostPort(s)
	if err != nil {
		return say.Error("cmd.no-address", s)
	}
	if n, err := strconv.Atoi(port); err != nil || n < 0 || n > 65535 {
		return say.Error("cmd.no-port", s)
	}
	if host == "" {
		return say.Error("cmd.every-network", s, port)
	}
	return nil
}

// boardOptions reads the files that a board needs and makes the data folder.
func (a *app) boardOptions() (BoardOptions, error) {
	in := a.readFiles()
	day := in.open(a, "", "--day", "day.toml")
	if day.found && !in.line.found && in.fromJournal(a) != nil {
		day.found = false // the board recovers the journal; what the line is, and so the day, nobody knows before
	}
	if in.readDay(a, day); len(in.faults) > 0 {
		return BoardOptions{}, &faultsError{in.faults}
	}
	dir, err := a.folder()
	if err != nil {
		return BoardOptions{}, err
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return BoardOptions{}, say.Error("cmd.no-folder", err)
	}
	var speak *meter.Config
	if in.line.found {
		speak = files.ReadMeters(in.line.name, in.line.data)
	}
	return BoardOptions{Folder: dir, Meters: speak, LineFile: in.line.found, Site: in.site, Book: in.book, Filed: in.filed, Suggest: in.sheet,
		Language: a.asked(), Speed: 1, Now: a.env.Now, In: a.env.Stdin, Out: a.env.Stdout}, nil
}
