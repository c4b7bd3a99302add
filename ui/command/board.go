package command

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/journal"
	"shedbell/line/meter"
	"shedbell/line/say"
	"shedbell/recipes"
	"shedbell/ui/setup"
)

// BoardFunc opens the board and returns when the person has left it.
type BoardFunc func(BoardOptions) error

// BoardOptions is what the board is opened with.
type BoardOptions struct {
	Folder   string     // data folder, which is there
	LineFile bool       // there is a line file; else the line of the journal goes on
	Site     *line.Site // what it says now, else what an empty folder begins with
	Book     recipes.Book
	Filed    []recipes.Recipe // what the recipe file says; nil where there is none
	Sheet    *line.Sheet      // a day to open at once when none is open; nil: ask the person

	Meters *meter.Config // what the line file says about meters; nil: nothing

	Suggest *line.Sheet // what the form for the day is filled in with; nil: nothing

	Language string // of all texts, where the command line asks for one; else that of the settings

	Demo     bool
	Practice bool             // of the demo: watch what is done and explain mistakes
	Plays    bool             // of the demo: it plays by itself until somebody takes over
	Speed    float64          // seconds on the board's clock for one on the wall
	OwnSpeed float64          // of a demo that plays by itself, for a person who takes over
	Now      func() time.Time // the board's clock

	Lines bool   // for people who have their screen read to them: a line for each change
	Begin func() // the person asks for the ways to begin, and leaves for them; nil: there are none

	In  io.Reader
	Out io.Writer
}

type boardCmd struct {
	Lines bool
}

// Run opens the board. On an empty data folder it first asks how to begin, and again
// whenever the person asks for that on the board.
func (c *boardCmd) Run(a *app) error {
	if err := a.needTerminal(); err != nil {
		return err
	}
	begin := !c.Lines && a.emptyFolder() && a.env.First != nil // which is drawn
	for {
		how := setup.BeginLook
		if begin {
			var err error
			if how, err = a.env.First(a.ctx, a.setupOptions()); err != nil || how == setup.BeginNot {
				return err
			}
		}
		if err := a.begin(how, c.Lines, &begin); err != nil || !begin {
			return err
		}
	}
}

// begin does what was chosen. again says whether to ask anew afterwards.
func (a *app) begin(how setup.Begin, lines bool, again *bool) error {
	switch how {
	case setup.BeginWatch:
		return (&demoCmd{}).play(a)
	case setup.BeginPractice:
		return (&demoCmd{Practice: true}).play(a)
	case setup.BeginSetup:
		return setupCmd{}.Run(a)
	}
	*again = false
	o, err := a.boardOptions()
	if err != nil {
		return err
	}
	if o.Lines = lines; a.env.First != nil && !lines {
		o.Begin = func() { *again = true }
	}
	return a.env.Board(o)
}

// emptyFolder says that the data folder has neither a line file nor a journal.
func (a *app) emptyFolder() bool {
	dir, err := a.folder()
	if err != nil || a.cli.Line != "" || a.readFiles().line.found {
		return false
	}
	j, err := journal.OpenReadOnly(dir)
	if err == nil {
		_ = j.Close() // it was only looked at
	}
	return errors.Is(err, fs.ErrNotExist)
}

// needTerminal says what to do where no board can be drawn.
func (a *app) needTerminal() error {
	if a.env.Terminal && a.env.Board != nil {
		return nil
	}
	return &exitError{ExitNoTerminal, say.New("cmd.needs-terminal")}
}

type demoCmd struct {
	Speed    *float64 `placeholder:"N"`
	Practice bool
}

// How much faster than the wall clock the demo runs where nobody says.
const (
	demoSpeed     = 20.0
	practiceSpeed = 10.0 // who is new reads every prompt
)

// speed is what was asked for, or the default.
func (d *demoCmd) speed() float64 {
	switch {
	case d.Speed != nil:
		return *d.Speed
	case d.Practice:
		return practiceSpeed
	}
	return demoSpeed
}

// own is the speed for a person who takes over.
func (d *demoCmd) own() float64 {
	if d.Speed != nil {
		return *d.Speed
	}
	return practiceSpeed
}

func (d *demoCmd) Run(a *app) error {
	speed := d.speed()
	if !(speed >= 0.1 && speed <= 600) {
		return say.Error("cmd.range", "--speed", fmt.Sprintf("%g", speed), say.New("cmd.from-to", "0.1", "600"))
	}
	if a.cli.Data != "" || a.cli.Line != "" || a.cli.Recipes != "" {
		return say.Error("cmd.demo-alone")
	}
	if err := a.needTerminal(); err != nil {
		return err
	}
	return d.play(a)
}

// play opens the board on the starter line in a throw-away folder.
func (d *demoCmd) play(a *app) error {
	speed := d.speed()
	dir, err := os.MkdirTemp("", "shedbell-demo-")
	if err != nil {
		return say.Error("cmd.no-throw-away", err)
	}
	defer os.RemoveAll(dir)
	start := a.dayStart()
	day := files.StarterDay(start)
	if d.Practice {
		day = files.PracticeDay(start)
	}
	return a.env.Board(BoardOptions{Folder: dir, Site: files.Starter(), Book: recipes.Starters(),
		Language: a.words.Language(), Sheet: day, Suggest: day, Demo: true, Practice: d.Practice, Plays: !d.Practice, Speed: speed, OwnSpeed: d.own(), Now: func() time.Time { return start },
		In: a.env.Stdin, Out: a.env.Stdout})
}
