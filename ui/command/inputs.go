package command

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/journal"
	"shedbell/line/live"
	"shedbell/line/pace"
	"shedbell/line/records"
	"shedbell/line/say"
	"shedbell/recipes"
	"shedbell/recipes/strictfile"
)

// source is one of the input files: its bytes, or what takes its place.
type source struct {
	name    string // as the person knows it
	found   bool
	instead string // where it was not found: what takes its place
	data    []byte
}

// inputs is what the files say. Values are only good while faults is empty.
type inputs struct {
	line, recipes, day source

	site   *line.Site
	book   recipes.Book
	filed  []recipes.Recipe // as the recipe file has them; nil where there is none
	sheet  *line.Sheet      // nil where there is no day sheet
	faults []strictfile.Fault
}

// readLine reads the line file and the recipes, and lists every fault. In a data
// folder without a line file the line of its journal goes on: the starter must not be
// laid over somebody's own wiring.
func (a *app) readLine() *inputs {
	in := a.readFiles()
	if in.line.found || len(in.faults) > 0 {
		return in
	}
	was := in.site
	if err := in.fromJournal(a); err != nil {
		in.faults = append(in.faults, strictfile.Fault{File: in.line.name, Problem: say.New("cmd-files.no-line", err),
			Mend: say.New("cmd-files.mend-no-line")})
	} else if in.site != was {
		fmt.Fprint(a.env.Stderr, wrap(a.words.Say("cmd-files.going-by", in.line.name, in.line.instead), 2))
	}
	return in
}

// fromJournal takes the line that was laid last, and without a recipe file the
// recipes, from the journal of the data folder, if it has one.
func (in *inputs) fromJournal(a *app) error {
	dir, err := a.folder()
	if err != nil {
		return nil // no folder, no journal
	}
	f, err := live.Follow(func() (live.Source, error) { return journal.OpenReadOnly(dir) }, in.site, in.book, a.env.Now)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	s := f.State()
	switch err := f.Close(); {
	case err != nil || s.Seq == 0:
		return err
	case s.Laid.IsZero():
		return live.ErrNoLine
	}
	in.site = s.Site
	in.line.instead = a.words.Say("cmd-files.journal-line", s.Site.Name, say.Date(s.Laid))
	if !in.recipes.found {
		in.book, in.recipes.instead = s.Book, a.words.Say("cmd-files.journal-recipes")
	}
	return nil
}

// learnedLimits has circuits of the line file count as their trips have taught at the
// board.
func (in *inputs) learnedLimits(a *app) *inputs {
	dir, err := a.folder()
	if err != nil || len(in.faults) > 0 {
		return in
	}
	if s, err := keptState(dir, in); err == nil && s != nil {
		in.site = s.WithLearned(in.site)
	}
	return in
}

// readFiles reads the line file and the recipes, and lists every fault. The starters
// stand in for what is not there.
func (a *app) readFiles() *inputs {
	in := &inputs{}
	in.line = in.open(a, a.cli.Line, "--line", "line.toml")
	in.recipes = in.open(a, a.cli.Recipes, "--recipes", "recipes.toml")
	in.line.instead, in.recipes.instead = a.words.Say("cmd-files.starter-line"), a.words.Say("cmd-files.starter-recipes")
	in.site, in.book = files.Starter(), recipes.Starters()
	if in.line.found {
		var faults []strictfile.Fault
		in.site, faults = files.ReadLine(in.line.name, in.line.data)
		in.faults = append(in.faults, faults...)
	}
	if in.recipes.found {
		all, faults := recipes.Read(in.recipes.name, in.recipes.data)
		in.book, in.filed = recipes.NewBook(all...), all
		in.faults = append(in.faults, faults...)
		if len(faults) > 0 {
			in.book = recipes.Book{}
		}
	}
	return in
}

// readDay reads the day sheet too. Where there is none, the sheet stays nil.
func (a *app) readDay(flag string) *inputs {
	in := a.readLine()
	in.readDay(a, in.open(a, flag, "--day", "day.toml"))
	return in
}

func (in *inputs) readDay(a *app, day source) {
	in.day = day
	if !day.found {
		return
	}
	if len(in.book.Crops()) == 0 {
		in.faults = append(in.faults, strictfile.Fault{File: in.day.name,
			Problem: say.New("cmd-files.day-unchecked"), Mend: say.New("cmd-files.mend-recipes")})
		return
	}
	var faults []strictfile.Fault
	in.sheet, faults = files.ReadDay(a.env.Now().Location(), in.day.name, in.day.data, in.site, in.book)
	in.faults = append(in.faults, faults...)
}

// opened is the line with the day of its sheet opened, the starter day where there
// is none. The inputs have no faults.
func (in *inputs) opened(a *app) (*line.State, *line.Sheet, error) {
	sheet := in.sheet
	if sheet == nil {
		sheet = files.StarterDay(a.dayStart())
		in.day.name = a.words.Say("cmd-files.starter-day")
	}
	s, _, no := line.Do(line.NewState(in.site, in.book), line.OpenDay{Sheet: *sheet}, sheet.Start, "")
	if no != nil {
		return nil, nil, say.Error("cmd-files.day-refused", in.day.name, no.Says)
	}
	return s, sheet, nil
}

// unless is what was learned, unless the files alone are asked for.
func (in *inputs) unless(fresh bool, a *app) (*pace.Learned, error) {
	if fresh {
		return nil, nil
	}
	return in.learned(a)
}

// learned takes the recipes of the data folder's journal, and gives what was learned
// from its last days; nil where there is no journal.
func (in *inputs) learned(a *app) (*pace.Learned, error) {
	dir, err := a.folder()
	if err != nil {
		return nil, nil // no folder, no journal
	}
	j, err := journal.OpenReadOnly(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer j.Close()
	r := records.NewReader(records.Filter{})
	r.Pace = &pace.Learner{}
	if err := j.LastDays(a.ctx, pace.Window, func(rec line.Record) error { r.Add(rec); return nil }); err != nil {
		return nil, err
	}
	if b := r.Book(); a.cli.Recipes == "" && len(b.Recipes.Crops()) > 0 {
		in.book = b.Recipes
	}
	return r.Pace.Learned(""), nil
}

// dayStart is when the starter day begins: in the morning of the present day.
func (a *app) dayStart() time.Time {
	now := a.env.Now()
	return time.Date(now.Year(), now.Month(), now.Day(), 7, 30, 0, 0, now.Location())
}

// open reads a file that was asked for with a flag or that is in the data folder.
// A file that cannot be read is one more fault.
func (in *inputs) open(a *app, asked, flag, usual string) source {
	path := asked
	if path == "" {
		dir, err := a.folder()
		if info, none := os.Stat(dir); err != nil || none != nil || !info.IsDir() {
			return source{name: usual} // nothing is set up there yet
		}
		path = filepath.Join(dir, usual)
	}
	data, err := readFile(path)
	if err == nil {
		return source{name: path, found: true, data: data}
	}
	if asked == "" && errors.Is(err, fs.ErrNotExist) {
		return source{name: path}
	}
	why, mend := say.New("cmd-files.unreadable"), say.New("cmd-files.mend-unreadable", flag)
	var pathErr *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		why, mend = say.New("cmd-files.missing"), say.New("cmd-files.mend-missing", flag)
	case errors.Is(err, errFolder):
		why, mend = say.New("cmd-files.folder"), say.New("cmd-files.mend-folder", flag)
	case errors.As(err, &pathErr):
		why = say.New("cmd-files.unreadable-why", pathErr.Err)
	}
	in.faults = append(in.faults, strictfile.Fault{File: path, Problem: why, Mend: mend})
	return source{name: path}
}

func (a *app) folder() (string, error) { return dataFolder(a.cli.Data, runtime.GOOS, a.env.Getenv) }

// journal opens the data folder's journal for reading, also while a board has it open.
func (a *app) journal() (*journal.Journal, error) {
	dir, err := a.folder()
	if err != nil {
		return nil, err
	}
	j, err := journal.OpenReadOnly(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, say.Error("cmd.no-journal", dir)
	}
	return j, err
}

var errFolder = errors.New("is a folder")

// readFile reads no more than is needed to see that a file is too large.
func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, errFolder
	}
	return io.ReadAll(io.LimitReader(f, strictfile.MaxBytes+1))
}
