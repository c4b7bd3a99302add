package journal_test

import (
	"context"
	"database/sql"
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/linetest"
)

// chained is a folder with a journal of some notes.
func chained(t testing.TB, notes int) string {
	t.Helper()
	dir := t.TempDir()
	j, err := journal.Open(dir, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	var records []line.Record
	for i := range notes {
		seq := int64(i + 1)
		records = append(records, line.Record{Seq: seq, Group: seq, At: linetest.Morning, By: "Ash", Event: line.NoteAdded{Text: fmt.Sprintf("note %d: 5 °C, 3,", seq)}})
	}
	if err := j.Append(context.Background(), records); err != nil {
		t.Fatal(err)
	}
	return dir
}

func wordsOf(t testing.TB, dir string) (words []string) {
	t.Helper()
	j, err := journal.OpenReadOnly(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	if err := j.Chain(context.Background(), func(l journal.Link) error {
		words = append(words, l.Word.String())
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return words
}

// The chain as Chain describes it, by Python's sqlite3 and hashlib.
const pythonChain = `
import hashlib, sqlite3, sys
link = bytes(32)
for row in sqlite3.connect(sys.argv[1]).execute('SELECT seq, grp, at_ns, zone_s, "by", undo, type, data FROM events ORDER BY seq'):
    text = link
    for f in row:
        b = f if isinstance(f, bytes) else str(f).encode()
        text += b'%d:%s,' % (len(b), b)
    link = hashlib.sha256(text).digest()
    h = link.hex()[:20]
    print('-'.join((h[:5], h[5:10], h[10:15], h[15:])))
`

func TestTheChainIsWhatAnotherProgramWorksOut(t *testing.T) {
	if _, err := exec.LookPath("python3"); err != nil {
		t.Skip("there is no python3 here")
	}
	dir := chained(t, 30)
	out, err := exec.Command("python3", "-c", pythonChain, filepath.Join(dir, "shedbell.db")).Output()
	if err != nil {
		t.Fatal(err)
	}
	if got, want := strings.Join(wordsOf(t, dir), "\n"), strings.TrimSpace(string(out)); got != want {
		t.Errorf("the chain is\n%s\nand python says\n%s", got, want)
	}
}

// Whoever goes round the triggers changes every word from the changed record on, and
// none before it; whichever column it is, also where its checksum is made to fit.
func TestAChangedRecordChangesTheWordsAfterIt(t *testing.T) {
	for _, change := range []string{`data = replace(data, 'note', 'Note')`, "grp = 4", "at_ns = at_ns + 1", "zone_s = 60", `"by" = 'Elm'`, "undo = 'x'", "type = 'other'"} {
		dir := chained(t, 9)
		before := wordsOf(t, dir)
		db, err := sql.Open("sqlite", filepath.Join(dir, "shedbell.db"))
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range []string{"DROP TRIGGER events_no_update", "UPDATE events SET " + change + " WHERE seq = 5"} {
			if strings.HasPrefix(change, "data") {
				q = strings.Replace(q, "data = replace(data,", "data = CAST(replace(CAST(data AS TEXT),", 1)
				q = strings.Replace(q, "'Note')", "'Note') AS BLOB)", 1)
			}
			if _, err := db.Exec(q); err != nil {
				t.Fatal(q, err)
			}
		}
		db.Close()
		after := wordsOf(t, dir)
		for i := range before {
			if same := before[i] == after[i]; same != (i < 4) {
				t.Errorf("%s: the word of record %d: same %v", change, i+1, same)
			}
		}
	}
}

func TestWordsAreReadAsTheyAreTyped(t *testing.T) {
	word := wordsOf(t, chained(t, 1))[0]
	for _, text := range []string{word, strings.ToUpper(word), strings.ReplaceAll(word, "-", "")} {
		if w, ok := journal.ParseWord(text); !ok || w.String() != word {
			t.Errorf("%q is read as %v, %v", text, w, ok)
		}
	}
	for _, text := range []string{"", "abc", word + "00", word[1:], "g" + word[1:]} {
		if _, ok := journal.ParseWord(text); ok {
			t.Errorf("%q passes for a word", text)
		}
	}
}

func BenchmarkChain(b *testing.B) {
	dir := chained(b, 100_000)
	for b.Loop() {
		wordsOf(b, dir)
	}
}
