package command

import (
	"fmt"
	"io"
	"os"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/say"
	"shedbell/recipes"
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

	Suggest *line.Sheet // what the form for the day is filled in with; nil: nothing

	Language string // of all texts, where the command line asks for one; else that of the settings

	Demo     bool
	Practice bool             // of the demo: watch what is done and explain mistakes
	Speed    float64          // seconds on the board's clock for one on the wall
	Now      func() time.Time // the board's clock

	In  io.Reader
	Out io.Writer
}

type boardCmd struct{}

func (boardCmd) Run(a *app) error {
	if err := a.needTerminal(); err != nil {
		return err
	}
	o, err := a.boardOptions()
	if err != nil {
		return err
	}
	return a.env.Board(o)
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
		Language: a.words.Language(), Sheet: day, Suggest: day, Demo: true, Practice: d.Practice, Speed: speed, Now: faster(a.env.Now, start, speed),
		In: a.env.Stdin, Out: a.env.Stdout})
}

// faster is a clock that begins at start and runs speed times as fast as the
// other one.
func faster(now func() time.Time, start time.Time, speed float64) func() time.Time {
	zero := now()
	return func() time.Time {
		return start.Add(time.Duration(float64(now().Sub(zero)) * speed))
	}
}
