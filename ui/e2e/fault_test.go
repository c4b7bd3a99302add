package e2e

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/journal"
	"shedbell/line/linetest"
	"shedbell/line/live"
	"shedbell/recipes"
)

// written is a data folder whose line was run by f until ago, and then left as a
// power cut leaves it.
func written(t *testing.T, ago time.Duration, f func(*live.Line, *linetest.Manual)) (dir string) {
	t.Helper()
	if _, err := binary(); err != nil { // later it would be time in which nobody watches
		t.Fatal(err)
	}
	dir = t.TempDir()
	manyTrays(t, dir)
	all, faults := recipes.Read("recipes.toml", []byte(quickRecipes))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	j, err := journal.Open(dir, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	clock := linetest.NewManual(time.Now().Add(-ago - 20*time.Minute))
	l, _, err := live.Open(j, files.Starter(), recipes.NewBook(all...), clock, "Ash")
	if err != nil {
		t.Fatal(err)
	}
	f(l, clock)
	if err := l.Wait(t.Context(), l.State().Seq); err != nil {
		t.Fatal(err)
	}
	if err := j.Beat(time.Now().Add(-ago)); err != nil {
		t.Fatal(err)
	}
	if err := j.Close(); err != nil { // not the line's own end: the power has gone
		t.Fatal(err)
	}
	return dir
}

func do(t *testing.T, l *live.Line, c line.Command) {
	t.Helper()
	if _, _, no := l.Do(c); no != nil {
		t.Fatal(no)
	}
}

// drying has a first batch on the rack for the 20 minutes before the power cut.
func drying(t *testing.T) func(*live.Line, *linetest.Manual) {
	return func(l *live.Line, clock *linetest.Manual) {
		do(t, l, line.OpenDay{Sheet: line.Sheet{Date: "2026-12-03", Crew: []string{"Ash"}, Crops: []line.Demand{{Crop: "pea", Trays: 4}}}})
		for range 4 { // cut, wash, spin, dry
			do(t, l, line.Advance{Batch: 1, To: line.Anywhere})
		}
		do(t, l, line.Adjust{At: l.State().Batch(1).Step.Place, By: time.Hour})
	}
}

// TestPowerCut starts the program a second, ten minutes and three days after the
// power went while a batch dried.
func TestPowerCut(t *testing.T) {
	for _, c := range []struct {
		away  time.Duration
		shows []string
	}{
		{time.Second, []string{"take PEA 1 off rack a", "4 RACK"}},
		{10 * time.Minute, []string{"what was running", "(10 min", "PEA 1, rack a", "ran at least 20:0", "of 1:01:00", "wet for 10:0"}},
		{72 * time.Hour, []string{"what was running", "(3 days", "ran at least 20:0", "wet for 72:0", "limit 15:00", "Fridge not watched"}},
	} {
		t.Run(c.away.String(), func(t *testing.T) {
			dir := written(t, c.away, drying(t))
			x := start(t, 100, 30, "--data", dir)
			x.expect(c.shows...)
			if c.away == time.Second {
				x.quit()
				return
			}
			x.press("Enter")
			x.expect("take PEA 1 off rack a", "PEA 1", "resumed")
			x.quit()
			unwatched := ""
			for _, e := range eventsOf[line.EntryMade](records(t, dir)) {
				unwatched += e.Entry.Text
			}
			if got, want := strings.Contains(unwatched, "Fridge not watched for 72.0 h"), c.away > live.FridgeGap; got != want {
				t.Errorf("a safety record of the fridge: %v, want %v; entries %q", got, want, unwatched)
			}
		})
	}
}

// TestAScreenThatPanics opens a screen that panics in the real program: a plain
// board comes up in its place, works, and leaves the terminal as it was found.
func TestAScreenThatPanics(t *testing.T) {
	path, err := faultyBinary()
	if err != nil {
		t.Fatalf("build: %v", err)
	}
	dir := written(t, time.Second, func(l *live.Line, clock *linetest.Manual) {
		drying(t)(l, clock)
		do(t, l, line.AddNote{Text: "the neighbour called"})
		do(t, l, line.MakeEntry{Entry: line.Entry{Kind: line.EntrySeen, Initials: "AB", Where: "rack", Text: "slug on the tray"}})
	})
	x := startProgram(t, path, 100, 30, "--data", dir)
	x.expect("take PEA 1 off rack a")
	x.press("/")
	x.expect("faulty")
	x.press("-", "Enter") // the last in the list
	x.expect("plain board", "The full board failed", "next: Cut PEA 2", "rack a", "left", "of 20 A")
	x.press("Enter")
	x.expect("PEA 2 started at the cutting table")
	x.press("b")
	x.expect("1 CUT", "PEA 2")
	x.quit()
	if !strings.Contains(x.sent(), "\x1b[?1049l") || !strings.Contains(x.sent(), "\x1b[?25h") {
		t.Error("the terminal was left on the other screen or without a cursor")
	}
	reports, err := filepath.Glob(filepath.Join(dir, "fault-*.txt"))
	if err != nil || len(reports) != 1 {
		t.Fatalf("%d reports: %v", len(reports), err)
	}
	data, err := os.ReadFile(reports[0])
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	if !strings.Contains(text, "faulty.Draw") {
		t.Errorf("the report does not say where:\n%s", text)
	}
	for _, private := range []string{"Ash", "Alder", "pea", "PEA", "neighbour", "slug", "AB", dir, os.Getenv("HOME")} {
		if private != "" && strings.Contains(text, private) {
			t.Errorf("the report tells %q:\n%s", private, text)
		}
	}
}

// Sequences that would steer a terminal: set its title, clear it, ring, move the
// cursor, turn the text around. ECMA-48 and, for the title, xterm's control
// sequences.
var steering = []string{"\x1b]0;owned\x07", "\x1b[2J", "\x07", "\x1b[31m", "\x9b5A", "\u202e", "\x1bP1$r\x1b\\"}

// TestTextCannotSteerTheTerminal puts such sequences into every text of a journal
// that people can type, and looks at what the program sends.
func TestTextCannotSteerTheTerminal(t *testing.T) {
	evil := strings.Join(steering, "x")
	dir := written(t, time.Second, func(l *live.Line, clock *linetest.Manual) {
		pea, _ := l.State().Recipe("pea")
		pea.Crop, pea.Note, pea.Why, pea.By = "pea"+evil, evil, evil, evil
		if _, _, no := l.Do(line.ImportRecipes{Recipes: []recipes.Recipe{pea}}); no != nil {
			t.Logf("a crop of that name is refused: %q", no.Error())
			pea.Crop = "pea"
		}
		do(t, l, line.OpenDay{Sheet: line.Sheet{Date: "2026-12-03", Crew: []string{"Ash" + evil},
			Crops: []line.Demand{{Crop: pea.Crop, Trays: 4}}}})
		do(t, l, line.Start{Batch: 1, To: line.Anywhere})
		do(t, l, line.AddNote{Text: "wet floor" + evil})
		do(t, l, line.Scrap{Batch: 2, Reason: "hot" + evil})
	})
	x := start(t, 120, 40, "--data", dir)
	x.expect("PEA")
	for _, keys := range [][]string{{"l"}, {"?"}, {"0", "/"}, {"0", "d"}, {"\x1b"}, {"1", "1"}, {"\x1b"}, {"r"}, {"Enter"}, {"\x1b"}, {"\x1b"}} {
		before := len(x.sent())
		x.press(keys...)
		x.drawnAfter(before)
	}
	x.pressUntil("l", "hot") // right behind an Esc it is another key
	x.expect("wet floor", "hot")
	sent := x.sent()
	for _, s := range append(steering[:len(steering):len(steering)], "owned") {
		if s == "\x1b[2J" || s == "\x1b[31m" || s == "\x07" {
			continue // the program's own; what people typed comes with an x around it
		}
		if strings.Contains(sent, s) {
			t.Errorf("%q was sent to the terminal", s)
		}
	}
	if strings.Contains(sent, "x\ax") || strings.Contains(sent, "x\x1b[2Jx") || strings.Contains(sent, "x\x1b[31mx") {
		t.Error("a text cleared or coloured the terminal")
	}
	x.kill()
}

// drawnAfter waits until the program has sent something more.
func (x *terminal) drawnAfter(n int) {
	x.t.Helper()
	deadline := time.Now().Add(3 * time.Second) // a key that changes nothing draws nothing before the next second
	for len(x.sent()) == n && time.Now().Before(deadline) {
		time.Sleep(5 * time.Millisecond)
	}
}
