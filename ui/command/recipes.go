package command

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/say"
	"shedbell/recipes"
	"shedbell/ui/words"
)

type recipesCmd struct {
	Export recipesExportCmd `cmd:""`
	Import recipesImportCmd `cmd:""`
}

type recipesExportCmd struct {
	File string `arg:"" optional:"" placeholder:"FILE" complete:"file"`
}

func (c *recipesExportCmd) Run(a *app) error {
	in := a.readLine()
	book := in.book
	dir, err := a.folder()
	if err != nil {
		return err
	}
	kept, err := keptState(dir, in)
	switch {
	case err != nil:
		return err
	case kept != nil:
		book = kept.Book
	case len(in.faults) > 0:
		return &faultsError{in.faults}
	}
	data, err := recipes.Write(book)
	if err != nil {
		return err
	}
	if c.File == "" {
		_, err = a.env.Stdout.Write(data)
		return err
	}
	return writeNew(c.File, data)
}

// keptState is what the journal of a folder says; nil where there is none.
func keptState(dir string, in *inputs) (*line.State, error) {
	j, err := journal.OpenReadOnly(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer j.Close()
	s, err := replay(j, in)
	if err != nil || s.Seq == 0 {
		return nil, err
	}
	return s, nil
}

func replay(j *journal.Journal, in *inputs) (*line.State, error) {
	s := line.NewState(in.site, in.book)
	err := j.Replay(0, func(r line.Record) (err error) {
		s, err = line.Reapply(s, r)
		return err
	})
	return s, err
}

// writeNew writes a file that is not there yet, whole or not at all.
func writeNew(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return say.Error("cmd-recipes.there-already", path)
	}
	if errors.Is(err, fs.ErrNotExist) {
		return say.Error("cmd-recipes.no-folder", filepath.Dir(path))
	}
	if err != nil {
		return say.Error("cmd-recipes.not-written", err)
	}
	_, err = f.Write(data)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		os.Remove(path)
		return say.Error("cmd-recipes.not-written", err)
	}
	return nil
}

type recipesImportCmd struct {
	File string `arg:"" placeholder:"FILE" complete:"file"`
}

func (c *recipesImportCmd) Run(a *app) error {
	data, err := readFile(c.File)
	if err != nil {
		return unread(c.File, err)
	}
	all, faults := recipes.Read(c.File, data)
	in := a.readLine()
	if faults = append(faults, in.faults...); len(faults) > 0 {
		return &faultsError{faults}
	}
	dir, err := a.folder()
	if err != nil {
		return err
	}
	added, err := a.take(filepath.Clean(dir), in, all)
	if err != nil {
		return err
	}
	if len(added) == 0 {
		fmt.Fprintln(a.env.Stdout, a.words.Say("cmd-recipes.nothing-new"))
	}
	for _, r := range added {
		fmt.Fprint(a.env.Stdout, wrap(r, 2))
	}
	return nil
}

// take writes new revisions into the journal and says what they are.
func (a *app) take(dir string, in *inputs, all []recipes.Recipe) (added []string, err error) {
	err = a.enter(dir, in, func(s *line.State) ([]line.Record, error) {
		now := a.env.Now()
		d, no := line.Decide(s, line.ImportRecipes{Recipes: all}, now)
		switch {
		case no != nil && no.Rule == line.RuleNothing:
			return nil, nil
		case no != nil:
			return nil, no
		}
		added = takenOver(a.words, s, d.Events)
		return d.Records(s, now, in.site.Crew[0]), nil
	})
	return added, err
}

// enter adds what decide makes of the line to its journal. That is left as clean, or as
// interrupted, as it was found.
func (a *app) enter(dir string, in *inputs, decide func(*line.State) ([]line.Record, error)) (err error) {
	j, err := journal.Open(dir, journal.Options{Now: a.env.Now})
	var locked journal.ErrLocked
	if errors.As(err, &locked) {
		return say.Error("cmd-recipes.locked", err, filepath.Join(dir, "recipes.toml"))
	}
	if err != nil {
		return err
	}
	defer func() {
		end := j.Close
		if last, ok := j.LastBeat(); j.WasClean() {
			if !ok {
				last = a.env.Now()
			}
			end = func() error { return j.CloseClean(last) }
		}
		err = errors.Join(err, end())
	}()
	s, err := replay(j, in)
	if err != nil {
		return err
	}
	var first []line.Record
	s, first = a.begun(s, in)
	more, err := decide(s)
	if err != nil || len(more) == 0 {
		return err
	}
	return j.Append(a.ctx, append(first, more...))
}

// begun is a line with its first record, which is new where it had none.
func (a *app) begun(s *line.State, in *inputs) (*line.State, []line.Record) {
	if s.Seq != 0 {
		return s, nil
	}
	first := line.Decision{Events: []line.Event{line.FirstRecord(in.site, in.book)}}.Records(s, a.env.Now(), in.site.Crew[0])
	return line.Apply(s, first[0]), first
}

// takenOver says what each new revision changes.
func takenOver(w *words.Speaker, s *line.State, events []line.Event) []string {
	var out []string
	for _, e := range events {
		r := e.(line.RecipeRevised).Recipe
		text := w.Say("cmd-recipes.new-crop", r.Crop, r.Revision)
		if before, ok := s.Recipe(r.Crop); ok {
			var parts []string
			for _, d := range recipes.Compare(before, r) {
				parts = append(parts, w.Say("cmd-recipes.change", w.Say("recipes-setting."+strings.ReplaceAll(d.Setting, " ", "-")), d.From, d.To))
			}
			text = w.Say("cmd-recipes.revision", r.Crop, r.Revision, strings.Join(parts, ", "))
		}
		out = append(out, text)
		s = line.Apply(s, line.Record{Event: e})
	}
	return out
}
