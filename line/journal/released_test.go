package journal

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shedbell/line"
	"shedbell/recipes"
)

// facts is what the line says of itself, in words that no version changes.
func facts(s *line.State) string {
	var b strings.Builder
	step := func(p *line.Step) {
		fmt.Fprintf(&b, " at %d.%d progress %d started %d planned %s stopped %d paused %s load %d setting %d\n",
			p.Place.Station, p.Place.Slot, p.Progress, p.Started.Unix(), p.Planned, p.Stopped.Unix(), p.Paused, p.Load, p.Setting)
	}
	fmt.Fprintf(&b, "record %d at %d, trays %v, crew %v, broken %v, water %d\n", s.Seq, s.At.Unix(), s.Trays, s.Crew, s.Broken, len(s.Water))
	for i := range s.Batches {
		k := &s.Batches[i]
		fmt.Fprintf(&b, "%s %d trays fate %d wet %s", k.Name(), k.Trays, k.Fate, k.WetSoFar)
		step(&k.Step)
	}
	for i := range s.Chores {
		fmt.Fprintf(&b, "chore %d of kind %d, %d trays", s.Chores[i].ID, s.Chores[i].Kind, s.Chores[i].Trays)
		step(&s.Chores[i].Step)
	}
	for i, l := range s.Power.Loads {
		fmt.Fprintf(&b, "load %d on %v setting %d since %d until %d\n", i, l.On, l.Setting, l.Since.Unix(), l.Until.Unix())
	}
	for _, m := range s.Marks {
		fmt.Fprintf(&b, "alarm %d priority %d batch %d\n", m.ID.Kind, m.ID.Priority, m.ID.Batch)
	}
	for _, o := range s.SignOffs {
		fmt.Fprintf(&b, "%s signed off for %d\n", o.Person, o.Station)
	}
	return b.String()
}

// testdata/days_1.db is a journal of format 1, in which kinds stand as numbers, of
// two days with every kind of chore, alarm and station and with undos of starts.
// Beside it stands what its last program said about the line at ten instants.
func TestAJournalFromBeforeSaysWhatItSaid(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "days_1.db"))
	must(t, err)
	dir := t.TempDir()
	must(t, os.WriteFile(filepath.Join(dir, dbName), data, 0o644))
	want, err := os.ReadFile(filepath.Join("testdata", "days_1.txt"))
	must(t, err)
	j := open(t, dir)
	if got := told(t, j); got != string(want) {
		t.Errorf("the line says\n%s\nand said\n%s", got, want)
	}
}

func told(t *testing.T, j *Journal) string {
	last, err := j.LastSeq()
	must(t, err)
	s := line.NewState(&line.Site{}, recipes.Book{})
	var b strings.Builder
	must(t, j.Replay(0, func(r line.Record) error {
		s = line.Apply(s, r)
		if r.Seq%(last/10) == 0 || r.Seq == last {
			b.WriteString(facts(s))
		}
		return nil
	}))
	return b.String()
}
