package command

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/say"
)

type backupCmd struct {
	File string `arg:"" placeholder:"FILE" complete:"file"`
}

func (c *backupCmd) Run(a *app) error {
	j, err := a.journal()
	if err != nil {
		return err
	}
	defer j.Close()
	if info, err := os.Stat(c.File); err == nil && info.IsDir() {
		return say.Error("cmd.is-folder", c.File, filepath.Join(c.File, "shedbell.tar.gz"))
	}
	if err := a.outside(c.File); err != nil {
		return err
	}
	var names []string
	if strings.HasSuffix(c.File, ".db") {
		err = j.BackupTo(c.File)
	} else {
		names, err = j.ArchiveTo(c.File)
	}
	if err != nil {
		return err
	}
	last, err := j.LastSeq()
	if err != nil {
		return err
	}
	text := a.words.Say("cmd-backup.copied", a.words.Say("cmd-count.record", int(last)), c.File)
	if len(names) > 0 {
		text += "\n" + a.words.Say("cmd-backup.with", strings.Join(names, ", "))
	}
	fmt.Fprint(a.env.Stdout, printableLines(text))
	return nil
}

// outside refuses a name within the data folder: a copy there would be lost with it, and
// might take the place of what it is a copy of.
func (a *app) outside(file string) error {
	dir, err := a.folder()
	if err != nil {
		return err
	}
	at, err := filepath.Abs(filepath.Dir(file))
	if err != nil {
		return err
	}
	for _, path := range []*string{&at, &dir} {
		if real, err := filepath.EvalSymlinks(*path); err == nil {
			*path = real
		}
	}
	if rel, err := filepath.Rel(dir, at); err == nil && filepath.IsLocal(rel) {
		return say.Error("cmd-backup.inside", file, dir)
	}
	return nil
}

type restoreCmd struct {
	File  string `arg:"" placeholder:"FILE" complete:"file"`
	Check bool
}

func (c *restoreCmd) Run(a *app) error {
	dir, err := a.folder()
	if err != nil {
		return err
	}
	if _, err := os.Stat(c.File); errors.Is(err, fs.ErrNotExist) {
		return say.Error("cmd-backup.no-file", c.File, filepath.Join(dir, "backups"))
	}
	if c.Check {
		return a.drill(c.File)
	}
	kept, err := journal.Restore(c.File, dir, journal.Options{Now: a.env.Now})
	if err != nil {
		return err
	}
	text := a.words.Say("cmd-backup.restored", c.File, dir)
	for _, name := range kept {
		text += "\n" + a.words.Say("cmd-backup.kept", name)
	}
	fmt.Fprint(a.env.Stdout, printableLines(text))
	return nil
}

// drill puts a copy into a folder that is thrown away, and reads every record of it.
func (a *app) drill(file string) error {
	dir, err := os.MkdirTemp("", "shedbell-drill-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	if _, err := journal.Restore(file, dir, journal.Options{Now: a.env.Now}); err != nil {
		return err
	}
	j, err := journal.OpenReadOnly(dir)
	if err != nil {
		return err
	}
	defer j.Close()
	count, shed, last := 0, "", time.Time{}
	err = j.Replay(1, func(r line.Record) error {
		count, last = count+1, r.At
		if laid, ok := r.Event.(line.LineLaid); ok {
			shed = laid.Site.Name
		}
		return nil
	})
	if err != nil {
		return err
	}
	fmt.Fprint(a.env.Stdout, printableLines(a.words.Say("cmd-backup.drilled", file, shed, a.words.Say("cmd-count.record", count), say.DateTime(last))))
	return nil
}
