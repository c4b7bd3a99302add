package files_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line/chemical"
	"shedbell/line/files"
	"shedbell/recipes/strictfile"
)

// What a label says comes into the line; what is in it may be given by any name or number.
func TestSanitizersOfTheLineFile(t *testing.T) {
	for holds, want := range map[string]chemical.ID{"hydrogen-peroxide": chemical.Peroxide, "agua oxigenada": chemical.Peroxide, "79-21-0": chemical.Peracid, "lejía": chemical.SodiumHypochlorite, "other": chemical.Unknown} {
		text := string(files.StarterLine()) + "\n[[sanitizer]]\nname = \"Green Foam\"\nholds = \"" + holds + "\"\nstrength_percent = 27\nuse = [\"surface\", \"wash water\"]\nleast_ppm = 500\ncontact = \"5m\"\nexpires = \"2027-06-30\"\n"
		site, faults := files.ReadLine("line.toml", []byte(text))
		if len(faults) > 0 {
			t.Fatalf("%s: %v", holds, strictfile.Join(faults))
		}
		s, ok := site.Limits.Sanitizer("green foam")
		if !ok || s.Holds != want || s.StockPPM != 270_000 || len(s.Uses) != 2 || s.LeastPPM != 500 || s.Contact != 5*time.Minute || s.Expires != "2027-06-30" {
			t.Errorf("%s: %+v", holds, s)
		}
	}
}

// Every slip in a label is found at once, with what to write instead.
func TestFaultsOfASanitizer(t *testing.T) {
	text := string(files.StarterLine()) + "\n[[sanitizer]]\nname = \"\"\nholds = \"soap\"\nstrength_percent = 270\nuse = [\"floor\"]\nleast_ppm = 500\nmost_ppm = 400\ncontact = \"0s\"\nexpires = \"June\"\n"
	_, faults := files.ReadLine("line.toml", []byte(text))
	var said []string
	for _, f := range faults {
		said = append(said, f.Key+": "+f.Problem.String()+"; "+f.Mend.String())
	}
	all := strings.Join(said, "\n")
	for _, part := range []string{"name", "\"hydrogen-peroxide\"", "strength_percent", "\"wash water\"", "more than most_ppm", "contact", "2027-06-30"} {
		if !strings.Contains(all, part) {
			t.Errorf("no fault says %q:\n%s", part, all)
		}
	}
	if len(faults) != 7 {
		t.Errorf("%d faults, want 7:\n%s", len(faults), all)
	}
}
