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

	"shedbell/line/say"
	"shedbell/recipes/strictfile"
	"shedbell/ui/words"
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
	First    FirstFunc           // asks how to begin where nothing is set up; nil: nobody is asked
}

type cli struct {
	Data    string `placeholder:"DIR" complete:"folder"`
	Line    string `placeholder:"FILE" complete:"file"`
	Recipes string `placeholder:"FILE" complete:"file"`

	Language string `placeholder:"LANGUAGE"`

	Board    boardCmd      `cmd:"" default:"1"`
	Watch    watchCmd      `cmd:""`
	Serve    serveCmd      `cmd:""`
	Demo     demoCmd       `cmd:""`
	Rehearse rehearseCmd   `cmd:""`
	Plan     planCmd       `cmd:""`
	Check    checkCmd      `cmd:""`
	Amps     ampsCmd       `cmd:""`
	Book     recipesCmd    `cmd:"" name:"recipes"`
	Records  recordsCmd    `cmd:""`
	Export   exportCmd     `cmd:""`
	Import   importCmd     `cmd:""`
	Backup   backupCmd     `cmd:""`
	Restore  restoreCmd    `cmd:""`
	Verify   verifyCmd     `cmd:""`
	Setup    setupCmd      `cmd:""`
	Meters   metersCmd     `cmd:""`
	Complete completionCmd `cmd:"" name:"completion"`
	Man      manCmd        `cmd:""`
	Version  versionCmd    `cmd:""`
}

// app is what every command is run with.
type app struct {
	ctx   context.Context
	env   Env
	cli   *cli
	words *words.Speaker
}

// Run carries out one command line, without the program's name, and returns the
// exit code.
func Run(ctx context.Context, args []string, env Env) int {
	a := &app{ctx: ctx, env: env, cli: &cli{}, words: words.English()}
	w, err := speaker(args, env)
	if err != nil {
		return a.report(err)
	}
	a.words = w
	exited := -1
	k := parser(a.cli, w, env, func(code int) { exited = code })
	parsed, err := k.Parse(args)
	if exited >= 0 {
		return exited // help has been printed
	}
	if err != nil {
		return a.report(usage(err))
	}
	return a.report(parsed.Run(a))
}

func parser(c *cli, w *words.Speaker, env Env, exit func(code int)) *kong.Kong {
	k, err := kong.New(c, kong.Name("shedbell"), kong.Writers(env.Stdout, env.Stderr), kong.Exit(exit),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: width}), kong.Help(printHelp(w)))
	if err != nil {
		panic(err) // a mistake in the struct tags above
	}
	describe(w, k.Model.Node, "use")
	return k
}

// exitError is an error with an exit code of its own.
type exitError struct {
	code int
	says say.Sentence // zero: the answer has been printed already
}

func (e *exitError) Error() string { return e.says.String() }

// Says is the error with its values apart.
func (e *exitError) Says() say.Sentence { return e.says }

// report prints an error, free of control characters, and returns its exit code.
func (a *app) report(err error) int {
	if err == nil {
		return ExitOK
	}
	code := ExitBadInput
	var exit *exitError
	if errors.As(err, &exit) {
		code = exit.code
	}
	var faults *faultsError
	if errors.As(err, &faults) { // one fault a line, as editors read them
		fmt.Fprint(a.env.Stderr, printableLines("shedbell: "+a.words.Say("cmd.faults", len(faults.faults))+"\n"+
			a.words.Faults(strictfile.Join(faults.faults))+"\n"+a.words.Say("cmd.mend-faults")))
		return code
	}
	if text := a.words.Problem(err); text != "" {
		for line := range strings.SplitSeq("shedbell: "+text, "\n") {
			fmt.Fprint(a.env.Stderr, wrap(line, 2))
		}
	}
	return code
}

// faultsError is every fault of the files, each on its own line.
type faultsError struct{ faults []strictfile.Fault }

func (e *faultsError) Error() string { return strictfile.Join(e.faults).Error() }

type versionCmd struct{}

func (versionCmd) Run(a *app) error {
	fmt.Fprintf(a.env.Stdout, "shedbell %s (%s %s/%s)\n", version(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
	return nil
}
