// Package start opens what the board needs (journal, clock, line) and closes it
// again in good order.
package start

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/live"
	"shedbell/line/say"
	"shedbell/ui/app"
	"shedbell/ui/command"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// quickStart is how long a start may take without a word. Years of a journal without
// a snapshot take longer.
const quickStart = time.Second

// Board opens the board on a data folder and returns when the person has left it.
// Where another program has the line, it watches.
func Board(o command.BoardOptions) error {
	liked, unread := prefs(o)
	told := time.AfterFunc(quickStart, func() { fmt.Fprintln(o.Out, liked.Speaker().Say("frame.reads-all")) })
	l, clock, notice, err := openPaced(o)
	told.Stop()
	if locked, ok := errors.AsType[journal.ErrLocked](err); ok {
		return watchBeside(o, locked)
	}
	if err != nil {
		return err
	}
	if unread != nil {
		notice = unused(liked, unread)
	}
	var beside listener
	notice = append(notice, beside.open(o, l)...)
	out := shared(o.Out)
	err = app.Run(app.Options{Line: l, Theme: theme.Detect(liked.Theme), Notice: notice, Speed: o.Speed,
		Prefs: liked, Keep: func(p screen.Prefs) error { return command.SavePrefs(o.Folder, p) }, Ring: ringer(out),
		Suggest: o.Suggest, Past: past(o.Folder), Recent: recent(o.Folder), Faults: o.Folder, In: o.In, Out: out, Demo: o.Demo, Practice: o.Practice, Plays: o.Plays, Pace: clock.SetSpeed, OwnPace: o.OwnSpeed, Begin: o.Begin, Lines: o.Lines, Measured: beside.measured(o)})
	return errors.Join(err, beside.close(), l.Close())
}

// prefs are the settings of the data folder, in the language that the command line asks
// for.
func prefs(o command.BoardOptions) (screen.Prefs, error) {
	p, err := command.LoadPrefs(o.Folder, os.Getenv)
	p.Language = cmp.Or(o.Language, p.Language)
	return p, err
}

// unused says why the settings do not hold, in the language that holds without
// them.
func unused(p screen.Prefs, err error) say.Speech {
	return say.Speech{say.New("settings.not-used", p.Speaker().Faults(err))}
}

// openLine opens the line of a data folder for writing. The notice says what the
// operator should know.
func openLine(o command.BoardOptions) (l *live.Line, notice say.Speech, err error) {
	l, _, notice, err = openPaced(o)
	return l, notice, err
}

// openPaced opens the line with the clock that it runs on.
func openPaced(o command.BoardOptions) (l *live.Line, clock *live.Steady, notice say.Speech, err error) {
	store, lost, err := open(o.Folder)
	if err != nil {
		return nil, nil, nil, err
	}
	begin := func() (err error) {
		clock = live.NewSteady(o.Now(), o.Speed)
		if o.LineFile {
			l, notice, err = live.Open(store, o.Site, o.Book, clock, o.Site.Crew[0])
		} else {
			l, notice, err = live.Resume(store, o.Site, o.Book, clock)
		}
		if err != nil {
			err = errors.Join(err, store.Close())
		}
		return err
	}
	if err = begin(); errors.Is(err, journal.ErrDamaged) { // a record in the middle, which opening does not read
		if store, lost, err = salvage(o.Folder); err == nil {
			err = begin()
		}
	}
	if errors.Is(err, live.ErrNoLine) {
		err = say.Error("notice.no-line-here", err, o.Folder)
	}
	if err != nil {
		return nil, nil, nil, err
	}
	if len(lost) > 0 {
		liked, _ := prefs(o)
		l.Do(line.AddNote{Text: liked.Speaker().Speech(lost)})
		notice = append(lost, notice...)
	}
	if word := l.TakeRecipes(o.Filed); len(word) > 0 {
		notice = word
	}
	if o.Sheet != nil && l.State().Sheet == nil {
		if _, _, no := l.Do(line.OpenDay{Sheet: *o.Sheet}); no != nil {
			notice = no.Says
		}
	}
	tend(o, store, l)
	return l, clock, notice, nil
}

// open opens the journal. A damaged one is recovered as far as it is whole; lost says
// what was not.
func open(dir string) (j *journal.Journal, lost say.Speech, err error) {
	j, err = journal.Open(dir, journal.Options{Now: time.Now})
	if errors.Is(err, journal.ErrDamaged) {
		return salvage(dir)
	}
	return j, nil, err
}

// salvage recovers a damaged journal and opens it.
func salvage(dir string) (j *journal.Journal, lost say.Speech, err error) {
	opts := journal.Options{Now: time.Now}
	report, err := journal.Salvage(dir, opts)
	if err != nil {
		return nil, nil, say.Error("salvaged.failed", err)
	}
	j, err = journal.Open(dir, opts)
	return j, report.Says(), err
}
