package start

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/command"
)

// One flipped bit in the middle of the journal costs the record that it is in. The
// start says which minutes that was, and goes on with the others.
func TestADamagedRecordCostsOnlyItself(t *testing.T) {
	dir := t.TempDir()
	now := linetest.Morning
	o := command.BoardOptions{Folder: dir, Site: linetest.Site(), Book: linetest.Book(), Speed: 1, Now: func() time.Time { return now }}
	l, _, err := openLine(o)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 9 {
		l.Do(line.AddNote{Text: fmt.Sprintf("kept note %d", i)})
	}
	before := l.State().Seq
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "shedbell.db")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(data, []byte("kept note 4"))
	if at < 0 {
		t.Fatal("the note is not in the file")
	}
	data[at] ^= 1
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	now = now.Add(time.Minute)
	l, notice, err := openLine(o)
	if err != nil {
		t.Fatalf("the board does not open: %v", err)
	}
	defer l.Close()
	if !strings.Contains(notice.String(), "is lost: from between 2026-12-03 07:30 and 07:30") {
		t.Errorf("the start says %q", notice)
	}
	last := l.History()[len(l.History())-1]
	if note, ok := last.Event.(line.NoteAdded); !ok || !strings.Contains(note.Text, "is lost") {
		t.Errorf("the last record is %+v, not a note of the loss", last)
	}
	if l.State().Seq < before {
		t.Errorf("record %d is the last, it was %d", l.State().Seq, before)
	}
}
