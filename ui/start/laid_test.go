package start

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/journal"
	"shedbell/line/linetest"
	"shedbell/ui/command"
)

// A journal that is brought into a new folder without the line file goes on with its
// own line, also while a day is open, and says so; only a line file changes it.
func TestARestoredJournalKeepsItsLine(t *testing.T) {
	own := linetest.Site()
	own.Name = "Willow shed"
	now := linetest.Morning
	options := func(dir string, lineFile bool, site *line.Site) command.BoardOptions {
		return command.BoardOptions{Folder: dir, LineFile: lineFile, Site: site, Book: linetest.Book(), Speed: 1,
			Now: func() time.Time { return now }}
	}
	was, dir := t.TempDir(), t.TempDir()
	l, _, err := openLine(options(was, true, own))
	if err != nil {
		t.Fatal(err)
	}
	for _, dayOpen := range []bool{false, true} {
		if dayOpen {
			if _, _, no := l.Do(line.OpenDay{Sheet: line.Sheet{Date: "2026-12-03", Crew: own.Crew, Crops: []line.Demand{{Crop: "pea", Trays: 4}}}}); no != nil {
				t.Fatal(no)
			}
		}
		if err := l.Wait(t.Context(), l.State().Seq); err != nil {
			t.Fatal(err)
		}
		copied := filepath.Join(t.TempDir(), "copy.db")
		j, err := journal.OpenReadOnly(was)
		if err != nil {
			t.Fatal(err)
		}
		if err := j.BackupTo(copied); err != nil {
			t.Fatal(err)
		}
		j.Close()
		if _, err := journal.RestoreFrom(copied, dir, journal.Options{}); err != nil {
			t.Fatal(err)
		}
		restored, notice, err := openLine(options(dir, false, files.Starter()))
		if err != nil {
			t.Fatal(err)
		}
		if got := restored.State().Site.Name; got != "Willow shed" {
			t.Errorf("day open %v: the line is that of %s", dayOpen, got)
		}
		if !strings.HasPrefix(notice.String(), "No line.toml here: going on with the line of Willow shed, laid on 2026-12-03.") || strings.Contains(notice.String(), "changed") {
			t.Errorf("day open %v: says %q", dayOpen, notice)
		}
		if by := restored.By(); by != own.Crew[0] {
			t.Errorf("%s acts, who is not of this shed", by)
		}
		if err := restored.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
}

// A journal that has lost the record of its line begins no other one by itself.
func TestAJournalWithoutItsLineAsksForIt(t *testing.T) {
	dir := t.TempDir()
	j, err := journal.Open(dir, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := j.Append(t.Context(), []line.Record{{Seq: 1, Group: 1, At: linetest.Morning, Event: line.NoteAdded{Text: "first"}}}); err != nil {
		t.Fatal(err)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	o := command.BoardOptions{Folder: dir, Site: files.Starter(), Book: linetest.Book(), Speed: 1, Now: time.Now}
	if _, _, err := openLine(o); err == nil || !strings.Contains(err.Error(), "shedbell setup") {
		t.Fatalf("opens with %v", err)
	}
	o.LineFile = true
	for _, o.LineFile = range []bool{true, false} { // once it was given, it is there again
		l, _, err := openLine(o)
		if err != nil {
			t.Fatal(err)
		}
		if err := l.Close(); err != nil {
			t.Fatal(err)
		}
	}
}
