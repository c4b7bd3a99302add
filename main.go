// Shedbell keeps the clocks, the amps and the next thing to do of a small wash,
// spin and dry line on one screen.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"time"

	"github.com/charmbracelet/x/term"

	"shedbell/ui/command"
	"shedbell/ui/setup"
	"shedbell/ui/start"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	code := command.Run(ctx, os.Args[1:], command.Env{
		Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr,
		Terminal: term.IsTerminal(os.Stdin.Fd()) && term.IsTerminal(os.Stdout.Fd()),
		Getenv:   os.Getenv,
		Now:      time.Now,
		Board:    start.Board,
		Watch:    start.Watch,
		Serve:    start.Serve,
		Setup:    setup.Run,
		First:    setup.First,
	})
	stop()
	os.Exit(code)
}
