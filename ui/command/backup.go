package command

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

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
		return say.Error("cmd.is-folder", c.File, filepath.Join(c.File, "shedbell.db"))
	}
	if err := j.BackupTo(c.File); err != nil {
		return err
	}
	last, err := j.LastSeq()
	if err != nil {
		return err
	}
	fmt.Fprint(a.env.Stdout, printableLines(a.words.Say("cmd-backup.copied", a.words.Say("cmd-count.record", int(last)), c.File)))
	return nil
}

type restoreCmd struct {
	File string `arg:"" placeholder:"FILE" complete:"file"`
}

func (c *restoreCmd) Run(a *app) error {
	dir, err := a.folder()
	if err != nil {
		return err
	}
	if _, err := os.Stat(c.File); errors.Is(err, fs.ErrNotExist) {
		return say.Error("cmd-backup.no-file", c.File, filepath.Join(dir, "backups"))
	}
	kept, err := journal.RestoreFrom(c.File, dir, journal.Options{Now: a.env.Now})
	if err != nil {
		return err
	}
	text := a.words.Say("cmd-backup.restored", c.File, dir)
	if kept != "" {
		text += "\n" + a.words.Say("cmd-backup.kept", kept)
	}
	fmt.Fprint(a.env.Stdout, printableLines(text))
	return nil
}
