package command

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"shedbell/line/journal"
)

type backupCmd struct {
	File string `arg:"" placeholder:"FILE" help:"File to write; one that is there is replaced once the copy is whole."`
}

// Help is shown after the summary of the flags.
func (*backupCmd) Help() string {
	return `Copies the journal, also while a board has it open, reads the copy back and checks every record in it. The board makes a copy a day by itself and keeps the last 14, in the folder backups beside the journal.`
}

func (c *backupCmd) Run(a *app) error {
	j, err := a.journal()
	if err != nil {
		return err
	}
	defer j.Close()
	if info, err := os.Stat(c.File); err == nil && info.IsDir() {
		return fmt.Errorf("%s is a folder. Give the name of a file to write, such as %s", c.File, filepath.Join(c.File, "shedbell.db"))
	}
	if err := j.BackupTo(c.File); err != nil {
		return err
	}
	last, err := j.LastSeq()
	if err != nil {
		return err
	}
	fmt.Fprint(a.env.Stdout, printableLines(fmt.Sprintf("Copied %s to %s and checked it.\nBring it back with: shedbell restore %s",
		count(int(last), "record", "records"), c.File, c.File)))
	return nil
}

type restoreCmd struct {
	File string `arg:"" placeholder:"FILE" help:"Copy that shedbell backup has written, or one of the daily copies."`
}

// Help is shown after the summary of the flags.
func (*restoreCmd) Help() string {
	return `Checks the copy and puts it in the journal's place. The journal that was there is kept beside it. In a folder without a line file the line of the copy goes on. No board may be open on the data folder.`
}

func (c *restoreCmd) Run(a *app) error {
	dir, err := a.folder()
	if err != nil {
		return err
	}
	if _, err := os.Stat(c.File); errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no file %s. Daily copies are in %s", c.File, filepath.Join(dir, "backups"))
	}
	kept, err := journal.RestoreFrom(c.File, dir, journal.Options{Now: a.env.Now})
	if err != nil {
		return err
	}
	text := fmt.Sprintf("%s is the journal of %s now.", c.File, dir)
	if kept != "" {
		text += fmt.Sprintf("\nWhat was there is kept as %s.", kept)
	}
	fmt.Fprint(a.env.Stdout, printableLines(text))
	return nil
}
