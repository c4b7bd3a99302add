package command_test

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// rehearsed is what a script reads from `rehearse --json`, declared apart from the
// program's own types so that a renamed key fails here.
type rehearsed struct {
	Finish  string
	Hours   float64
	Trays   int
	Batches []struct {
		ID    int
		Crop  string
		Trays int
		Steps []struct{ Station, Place, Start, End string }
	}
	Chores []struct {
		Chore, Crop, Start, End string
		Trays                   int
	}
	Circuits []struct {
		Name   string
		LimitA float64 `json:"limit_a"`
		PeakA  float64 `json:"peak_a"`
	}
	Refusals struct {
		Count int
		Texts []string
	}
	HandsBusy float64 `json:"hands_busy"`
}

func instant(t *testing.T, s string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// span is a stretch of time at one place.
type span struct{ start, end time.Time }

func (a span) meets(b span) bool { return a.start.Before(b.end) && b.start.Before(a.end) }

func TestRehearseStarterDay(t *testing.T) {
	for seed := 1; seed <= 5; seed++ {
		t.Run(strconv.Itoa(seed), func(t *testing.T) {
			s := newShell(t)
			s.want(t, 0, "rehearse", "--json", "--seed", strconv.Itoa(seed))
			var day rehearsed
			s.decode(t, &day)
			checkTotals(t, &day)
			machines := checkSteps(t, &day)
			checkChores(t, &day, machines)
		})
	}
}

func checkTotals(t *testing.T, day *rehearsed) {
	t.Helper()
	crops, trays := map[string]bool{}, 0
	for _, b := range day.Batches {
		crops[b.Crop] = true
		trays += b.Trays
	}
	if day.Trays < 18 || trays != day.Trays || len(crops) < 4 {
		t.Errorf("%d trays in batches of %d, %d crops", trays, day.Trays, len(crops))
	}
	if len(day.Circuits) < 2 {
		t.Errorf("circuits: %+v", day.Circuits)
	}
	for _, c := range day.Circuits {
		if c.PeakA > c.LimitA || c.PeakA <= 0 || c.LimitA < 15 {
			t.Errorf("%s peaks at %g of %g A", c.Name, c.PeakA, c.LimitA)
		}
	}
	if day.Refusals.Texts == nil || day.Refusals.Count != len(day.Refusals.Texts) {
		t.Errorf("refusals: %+v", day.Refusals)
	}
	if day.HandsBusy <= 0 || day.HandsBusy > 1 {
		t.Errorf("hands are busy for %g", day.HandsBusy)
	}
	start := time.Date(2026, 12, 3, 7, 30, 0, 0, time.UTC)
	if h := instant(t, day.Finish).Sub(start).Hours(); math.Abs(h-day.Hours) > 0.001 {
		t.Errorf("finish is %g h after the start, hours says %g", h, day.Hours)
	}
}

// checkSteps follows every batch through the line, and returns when tub, spinner
// and rack ran.
func checkSteps(t *testing.T, day *rehearsed) (machines []span) {
	t.Helper()
	order := []string{"cut", "wash", "spin", "dry", "pack", "chill"}
	single := map[string][]span{}
	for _, b := range day.Batches {
		var through []string
		var last time.Time
		for _, st := range b.Steps {
			sp := span{instant(t, st.Start), instant(t, st.End)}
			if sp.start.Before(last) || sp.end.Before(sp.start) || sp.end.After(instant(t, day.Finish)) {
				t.Errorf("batch %d: %s begins at %s, ends at %s, after %s", b.ID, st.Station, st.Start, st.End, last)
			}
			last = sp.end
			through = append(through, st.Station)
			switch st.Station {
			case "cut", "wash", "spin": // one slot each on the starter line
				for _, other := range single[st.Place] {
					if other.meets(sp) {
						t.Errorf("batch %d is at %s together with another", b.ID, st.Place)
					}
				}
				single[st.Place] = append(single[st.Place], sp)
			}
			if st.Station == "wash" || st.Station == "spin" || st.Station == "dry" {
				machines = append(machines, sp)
			}
		}
		if !slices.Equal(through, order) {
			t.Errorf("batch %d went through %v", b.ID, through)
		}
	}
	return machines
}

// checkChores checks that every tray is washed with nothing else on, that the
// surfaces are wetted for their contact time, and that every tray is sown again.
func checkChores(t *testing.T, day *rehearsed, machines []span) {
	t.Helper()
	washed, sown, contact := 0, 0, time.Duration(0)
	for _, c := range day.Chores {
		sp := span{instant(t, c.Start), instant(t, c.End)}
		switch c.Chore {
		case "tray-wash":
			washed += c.Trays
			for _, m := range machines {
				if m.meets(sp) {
					t.Errorf("a machine runs from %s during the pressure washing", m.start)
				}
			}
		case "sanitize":
			contact = max(contact, sp.end.Sub(sp.start))
		case "sow":
			sown += c.Trays
		}
	}
	// 10 min: contact time of the starter line, common practice, no source.
	if washed != day.Trays || sown != day.Trays || contact < 10*time.Minute {
		t.Errorf("%d trays washed, %d sown of %d, contact %s", washed, sown, day.Trays, contact)
	}
}

func TestSeedDecidesTheDay(t *testing.T) {
	s := newShell(t)
	s.want(t, 0, "rehearse", "--seed", "7")
	first := s.out.String()
	fits(t, first)
	s.want(t, 0, "rehearse", "--seed", "7")
	if s.out.String() != first {
		t.Error("the same seed gave another day")
	}
	s.want(t, 0, "rehearse", "--seed", "8")
	if s.out.String() == first {
		t.Error("another seed gave the same day")
	}
}

// A person's own files in the data folder take the starters' place, and a flag
// takes theirs.
func TestFilesOfTheDataFolder(t *testing.T) {
	s := newShell(t)
	dir := s.vars["SHEDBELL_DATA"]
	other := t.TempDir()
	put(t, filepath.Join(dir, "line.toml"), read(t, testdata+"command/tight_line.toml"))
	put(t, filepath.Join(dir, "day.toml"), read(t, testdata+"command/small_day.toml"))
	s.want(t, 0, "rehearse")
	if got := s.out.String(); !strings.Contains(got, "Tight shed") || !strings.Contains(got, "6 trays of 2 crops") {
		t.Errorf("the files of the data folder were not used:\n%s", got)
	}
	s.want(t, 0, "rehearse", "--data", other)
	if got := s.out.String(); strings.Contains(got, "Tight shed") {
		t.Errorf("--data did not take the place of SHEDBELL_DATA:\n%s", got)
	}
	s.want(t, 0, "rehearse", "--line", testdata+"starter_line.toml")
	if got := s.out.String(); !strings.Contains(got, "Alder shed") || !strings.Contains(got, "6 trays of 2 crops") {
		t.Errorf("--line did not take the place of line.toml:\n%s", got)
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func put(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}
