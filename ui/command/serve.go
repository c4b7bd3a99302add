package command

import (
	"context"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strconv"
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

func (watchCmd) Help() string {
	return `Read-only, on the same machine and data folder as the board. It says who runs the line and when that program was last alive. Once it has ended, Enter takes the line: from then on this is the board.`
}

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
	Listen string `default:"127.0.0.1:2222" placeholder:"ADDRESS:PORT" help:"Where to listen (default 127.0.0.1:2222, which only this machine reaches)."`
	Keys   string `placeholder:"FILE" help:"Public keys that may come in. Else ssh_keys in the data folder."`
}

func (serveCmd) Help() string {
	return `Opens the board and serves it over SSH as well; without a terminal it serves only. See it with: ssh -p 2222 localhost

The key file has one public key a line, as ssh-keygen writes them. In front of a key may stand "operator", who may take the line, or "viewer", who watches, as one without a word does. by="NAME" after a comma says whose name an operator's actions are kept under:

  operator,by="Ash" ssh-ed25519 AAAA... a phone

A key that is taken out of the file is turned away at once. One screen at a time has the line; an operator takes it with Enter. There are no passwords, no shell, no commands and no forwarding. The host key is made at the first start and kept in the data folder as ssh_host_key; what was refused is written to serve.log there.

Listen on another address only in a network that you trust. ` + caution
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
		return fmt.Errorf("--listen %q is no address with a port. Give one such as 127.0.0.1:2222", s)
	}
	if n, err := strconv.Atoi(port); err != nil || n < 0 || n > 65535 {
		return fmt.Errorf("--listen %q: the port has to be a number from 1 to 65535", s)
	}
	if host == "" {
		return fmt.Errorf("--listen %q would listen on every network of this machine. "+
			"If that is meant, say so: 0.0.0.0:%s; else give 127.0.0.1:%s", s, port, port)
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
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return BoardOptions{}, fmt.Errorf("cannot make the data folder: %w. Give another one with --data DIR", err)
	}
	return BoardOptions{Folder: dir, LineFile: in.line.found, Site: in.site, Book: in.book, Filed: in.filed, Suggest: in.sheet,
		Speed: 1, Now: a.env.Now, In: a.env.Stdin, Out: a.env.Stdout}, nil
}
