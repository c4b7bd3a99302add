package command_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/journal"
	"shedbell/recipes"
	"shedbell/recipes/strictfile"
)

// steers says whether a text would do more on a terminal than be shown.
func steers(text string) bool {
	return strings.ContainsFunc(strings.ReplaceAll(text, "\n", ""), strictfile.IsControl)
}

// dirt is in the names below: CSI, OSC and DCS, 7 and 8 bits wide (ECMA-48, 5.4), the
// direction of reading (Unicode Standard Annex #9), ends of lines and NUL.
const dirt = "\x1b[2J\x1b]0;owned\a\u009b31m\u0090x\u009c\u202e\u2066\r\x00\x7f\u2028"

// tampered is a data folder whose journal holds dirt in every name.
func tampered(t *testing.T, dir string) {
	t.Helper()
	site := *files.Starter()
	site.Name += dirt
	for i := range site.Stations {
		site.Stations[i].Name += dirt
	}
	for i := range site.Panel.Circuits {
		site.Panel.Circuits[i].Name += dirt
	}
	for i := range site.Panel.Loads {
		site.Panel.Loads[i].Name += dirt
	}
	known := recipes.Starters()
	var all []recipes.Recipe
	for _, crop := range known.Crops() {
		r, _ := known.Current(crop)
		r.Crop, r.By, r.Why = crop+dirt, "Ash"+dirt, "dry"+dirt
		all = append(all, r)
	}
	j, err := journal.Open(dir, journal.Options{Now: func() time.Time { return nine }})
	if err != nil {
		t.Fatal(err)
	}
	events := []line.Event{line.FirstRecord(&site, recipes.NewBook(all...)), line.NoteAdded{Text: dirt},
		line.BreakerTripped{Circuit: 0}, line.TroubleReported{Where: dirt, What: dirt}}
	for i, e := range events {
		n := int64(i + 1)
		if err := j.Append(context.Background(), []line.Record{{Seq: n, Group: n, At: nine, By: "Ash" + dirt, Event: e}}); err != nil {
			t.Fatal(err)
		}
	}
	if err := j.CloseClean(nine); err != nil {
		t.Fatal(err)
	}
}

// Whatever a journal, a file, a file's name or an argument holds, what a command prints
// is shown and does nothing else.
func TestNothingPrintedSteersTheTerminal(t *testing.T) {
	s := newShell(t)
	tampered(t, s.vars["SHEDBELL_DATA"])
	work := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(work, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	escaped := strings.Trim(fmt.Sprintf("%+q", dirt), `"`)
	escaped = strings.NewReplacer(`\x1b`, `\u001b`, `\x00`, `\u0000`, `\x7f`, `\u007f`, `\a`, `\u0007`).Replace(escaped)
	raw := strings.ReplaceAll(string(files.StarterLine()), "wet wall", "wet wall\x1b[2J")
	coded := strings.ReplaceAll(string(files.StarterLine()), "wet wall", "wet wall"+escaped)
	named := write("a\x1b]0;x\a\u202eb.toml", "crop = 1\n")
	for _, args := range [][]string{
		{"recipes", "export"},
		{"check"},
		{"check", "--line", write("raw.toml", raw)},
		{"check", "--line", write("coded.toml", coded)},
		{"check", "--line", named},
		{"check", "--day", write("day.toml", "date = 2026-12-03\nstart = 07:30:00\ncrew = [\"A"+escaped+"\"]\n[[crop]]\nname = \"p"+escaped+"\"\ntrays = 3\n")},
		{"rehearse", "--line", named},
		{"rehearse"},
		{"plan", "--line", filepath.Join(work, "coded.toml")},
		{"plan", "--budget", "20ms"},
		{"amps", "--on", dirt, "--start", "spinner"},
		{"amps", "--start", "spinner\x1b[31m"},
		{"recipes", "import", named},
		{"recipes", "import", filepath.Join(work, "none"+"\x1b[2J\u202e")},
		{"backup", filepath.Join(work, "copy\u009b2J\u202e.db")},
		{"restore", filepath.Join(work, "none\x1b[2J.db")},
		{"--data", filepath.Join(work, "none\x1b[2J"), "watch"},
		{"no such\x1b[2J"},
		{"check", "--li\x1b[2Jne"},
	} {
		s.run(args...)
		if out := s.out.String() + s.err.String(); out == "" || steers(out) {
			t.Errorf("shedbell %q printed %q", args, out)
		}
	}
}
