// Package command is the command line: it reads the files that a person names,
// asks the line or the interlock, and prints the answer. It returns an exit code
// instead of ending the program, and all that it touches comes in as a value, so
// that it runs in a test as it runs in a shell.
package command

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"time"

	"github.com/alecthomas/kong"

	"shedbell/recipes/strictfile"
)

// Exit codes, stable for scripts.
const (
	ExitOK         = 0
	ExitBadInput   = 1 // a file, a flag or a name that has to be mended first
	ExitNoTerminal = 2 // the board was asked for where none can be drawn
	ExitRefused    = 3 // amps: the interlock says no
)

// Env is what the command line may touch of the machine.
type Env struct {
	Stdin    io.Reader
	Stdout   io.Writer
	Stderr   io.Writer
	Terminal bool                // standard input and output are both a terminal
	Getenv   func(string) string // as os.Getenv
	Now      func() time.Time    // its zone is that of the times on a day sheet
	Board    BoardFunc           // draws the board; without it there is none
	Watch    BoardFunc           // draws the board of a line that another program runs
	Serve    ServeFunc           // runs the line and serves it over SSH
	Setup    SetupFunc           // asks for a line file
}

// caution goes with every answer about amps.
const caution = "This is advice to a person, no protective device. Local code and a licensed electrician decide."

const description = `Countdowns, amps and the next thing to do for a small wash, spin and dry line.

Without a command it opens the board. The line file, the recipes and the day sheet are looked for in the data folder as line.toml, recipes.toml and day.toml; where one is missing, what the folder's journal was last kept on goes on, and in an empty folder the starter that comes with the program.

Exit codes: 0 done or allowed, 1 something given has to be mended, 2 no terminal for the board, 3 refused by the interlock.

` + caution

type cli struct {
	Data    string `placeholder:"DIR" help:"Data folder. Else SHEDBELL_DATA, else the user's data home."`
	Line    string `placeholder:"FILE" help:"Line file: the shed, its wiring, its stations and its people."`
	Recipes string `placeholder:"FILE" help:"Recipe file."`

	Board    boardCmd      `cmd:"" default:"1" help:"Open the board (this is what happens without a command)."`
	Watch    watchCmd      `cmd:"" help:"Show the line that another program on this machine runs, without touching it."`
	Serve    serveCmd      `cmd:"" help:"Run the line and show it over SSH too, to the keys that are allowed."`
	Demo     demoCmd       `cmd:"" help:"Open the board on the starter line with a day's trays waiting, in a throw-away folder."`
	Rehearse rehearseCmd   `cmd:"" help:"Play a whole day on a virtual clock and print how it goes. Needs no terminal."`
	Plan     planCmd       `cmd:"" help:"Find the best order for a day, with proof or bound; or score the planner on published instances."`
	Check    checkCmd      `cmd:"" help:"Read the files, report every fault, and say what can never run together."`
	Amps     ampsCmd       `cmd:"" help:"Ask the interlock whether a load may start."`
	Book     recipesCmd    `cmd:"" name:"recipes" help:"Write the recipes to a file, or take a recipe file over."`
	Records  recordsCmd    `cmd:"" help:"Print what the journal says: times, charts, backlog, safety records, lots, traces, labels."`
	Backup   backupCmd     `cmd:"" help:"Copy the journal, also while a board runs, and check the copy."`
	Restore  restoreCmd    `cmd:"" help:"Put a copy in the journal's place. What was there is kept."`
	Setup    setupCmd      `cmd:"" help:"Build or change the line file by answering questions."`
	Complete completionCmd `cmd:"" name:"completion" help:"Print a script that completes commands in bash, zsh or fish."`
	Man      manCmd        `cmd:"" help:"Print the manual as a man page."`
	Version  versionCmd    `cmd:"" help:"Print the version."`
}

// app is what every command is run with.
type app struct {
	ctx context.Context
	env Env
	cli *cli
}

// Run carries out one command line, without the program's name, and returns the
// exit code.
func Run(ctx context.Context, args []string, env Env) int {
	var c cli
	exited := -1
	k, err := kong.New(&c,
		kong.Name("shedbell"),
		kong.Description(description),
		kong.Writers(env.Stdout, env.Stderr),
		kong.Exit(func(code int) { exited = code }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: width}),
	)
	if err != nil {
		panic(err) // a mistake in the struct tags above
	}
	parsed, err := k.Parse(args)
	if exited >= 0 {
		return exited // help has been printed
	}
	if err != nil {
		return report(env.Stderr, usage(err))
	}
	return report(env.Stderr, parsed.Run(&app{ctx: ctx, env: env, cli: &c}))
}

// exitError is an error with an exit code of its own.
type exitError struct {
	code int
	text string // empty: the answer has been printed already
}

func (e *exitError) Error() string { return e.text }

// report prints an error, free of control characters, and returns its exit code.
func report(w io.Writer, err error) int {
	if err == nil {
		return ExitOK
	}
	code := ExitBadInput
	var exit *exitError
	if errors.As(err, &exit) {
		code = exit.code
	}
	text := err.Error()
	var faults *faultsError
	switch {
	case text == "":
	case errors.As(err, &faults):
		fmt.Fprint(w, printableLines("shedbell: "+text)) // one fault a line, as editors read them
	default:
		for _, line := range strings.Split("shedbell: "+text, "\n") {
			fmt.Fprint(w, wrap(line, 2))
		}
	}
	return code
}

// faultsError is every fault of the files, each on its own line.
type faultsError struct{ faults []strictfile.Fault }

func (e *faultsError) Error() string {
	return fmt.Sprintf("%s in the files; nothing was changed\n%s\nMend them and try again",
		count(len(e.faults), "fault", "faults"), strictfile.Join(e.faults))
}

type versionCmd struct{}

func (versionCmd) Run(a *app) error {
	fmt.Fprintf(a.env.Stdout, "shedbell %s (%s %s/%s)\n", version(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
	return nil
}
