package command

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/linetest"
	"shedbell/line/pace"
	"shedbell/line/records"
	"shedbell/line/rehearse"
)

// A shed whose packing takes twice what the line file says: the report says so, and the
// rehearsal and the plan go by it unless they are asked to go by the files.
func TestPaceOfADataFolder(t *testing.T) {
	slow := func(st *line.Station, _, _ string) (line.Pace, bool) {
		return line.Pace{PerTray: 3 * time.Minute}, st.Kind == line.Pack
	}
	all := linetest.Worked(15, slow, rehearse.Delays{})
	last := all[len(all)-1]
	more := func(e line.Event) {
		last.Seq, last.Group, last.Event = last.Seq+1, last.Seq+1, e
		all = append(all, last)
	}
	more(line.PacePinned{Pin: line.PinnedPace{Station: "sowing bench", Pace: line.Pace{PerTray: 2 * time.Minute}}})
	dir := journalOf(t, all)

	out, errs, code := recorded(t, dir, "pace", "--json")
	var doc struct {
		Sections []struct {
			Name string
			Rows []struct {
				Station, Crop, Person *string
				Fixed                 float64  `json:"minutes_fixed"`
				PerTray               float64  `json:"minutes_per_tray"`
				Low, High             float64  `json:",omitempty"`
				N                     int      `json:"n"`
				File                  float64  `json:"file_minutes_per_tray"`
				Trend                 float64  `json:"trend_percent_week"`
				Pinned                *float64 `json:"pinned_minutes_per_tray"`
			}
		}
	}
	if err := json.Unmarshal([]byte(out), &doc); code != 0 || err != nil {
		t.Fatalf("exit %d, %v: %s", code, err, errs)
	}
	found := 0
	for _, r := range doc.Sections[0].Rows {
		switch {
		case *r.Station == "packing table" && r.Crop == nil && r.Person == nil:
			found++
			if got := r.Fixed/4 + r.PerTray; math.Abs(got-3) > 0.1 || r.File != 1.5 || r.Low > r.PerTray || r.High < r.PerTray || r.N < 80 || math.Abs(r.Trend) > 1 {
				t.Errorf("packing: %+v", r)
			}
		case *r.Station == "sowing bench" && r.Crop == nil && r.Person == nil:
			found++
			if r.Pinned == nil || *r.Pinned != 2 {
				t.Errorf("the pin of the sowing bench: %v", r.Pinned)
			}
		}
	}
	if found != 2 {
		t.Errorf("%d of 2 stations", found)
	}

	day := "date = 2026-12-18\nstart = 07:30:00\ncrew = [\"Ash\"]\n[[crop]]\nname = \"pea\"\ntrays = 8\n[[crop]]\nname = \"radish\"\ntrays = 8\n"
	if err := os.WriteFile(filepath.Join(dir, "day.toml"), []byte(day), 0o600); err != nil {
		t.Fatal(err)
	}
	end := func(args ...string) time.Time {
		t.Helper()
		var out, errs bytes.Buffer
		code := Run(context.Background(), append(args, "--data", dir, "--json"), Env{Stdin: strings.NewReader(""), Stdout: &out, Stderr: &errs,
			Getenv: func(string) string { return "" }, Now: func() time.Time { return linetest.Morning }})
		var got struct{ Finish time.Time }
		if err := json.Unmarshal(out.Bytes(), &got); code != 0 || err != nil {
			t.Fatalf("%v: exit %d, %v: %s", args, code, err, errs.String())
		}
		return got.Finish
	}
	for _, args := range [][]string{{"rehearse"}, {"plan", "--budget", "200ms"}} {
		learned, fresh := end(args...), end(append(args, "--fresh")...)
		if more := learned.Sub(fresh); more < 15*time.Minute {
			t.Errorf("%s: with what was learned the day ends %s later than by the files", args[0], more)
		}
	}
}

// BenchmarkLearn learns from the journal of ten years, and from one more day.
func BenchmarkLearn(b *testing.B) {
	all := slices.Collect(linetest.Years(linetest.Morning, 2600))
	dir := journalOf(b, all)
	read := func() *pace.Learner {
		j, err := journal.OpenReadOnly(dir)
		if err != nil {
			b.Fatal(err)
		}
		defer j.Close()
		r := records.NewReader(records.Filter{From: "9999"})
		r.Pace = &pace.Learner{}
		if err := j.LastDays(context.Background(), pace.Window, func(rec line.Record) error { r.Add(rec); return nil }); err != nil {
			b.Fatal(err)
		}
		r.Book()
		return r.Pace
	}
	b.Run("ten years", func(b *testing.B) {
		for b.Loop() {
			if len(read().Learned("").Rows()) == 0 {
				b.Fatal("nothing was learned")
			}
		}
	})
	learner := read()
	learner.Learned("")
	last := 0
	for i, r := range all {
		if _, ok := r.Event.(line.DayOpened); ok {
			last = i
		}
	}
	s := line.NewState(linetest.Site(), linetest.Book())
	b.Run("a day", func(b *testing.B) {
		for b.Loop() {
			one := learner.Clone()
			records.ReadDay(all[last:], s, all[len(all)-1].At, one)
			one.Learned("")
		}
	})
}
