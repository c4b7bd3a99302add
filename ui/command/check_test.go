package command_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"shedbell/ui/command"
)

// A fault names file, line, column, key and, where there is one, the value; after
// the semicolon stands what would be right.
var faultLine = regexp.MustCompile(`^[^:]+\.toml:[0-9]+:[0-9]+: .+; .+$`)

func TestBadFiles(t *testing.T) {
	for _, tc := range []struct {
		name string
		args []string
		says []string // each the part of a line
	}{
		{"values", []string{"--line", testdata + "bad_line_values.toml"},
			[]string{"colour = \"green\": unknown key", "breaker_a = -20: negative", "starting = \"-1s\": negative time", "amps: \"spinner\" has no amps"}},
		{"names", []string{"--line", testdata + "bad_line_names.toml"}, []string{"unknown circuit", "there twice"}},
		{"day", []string{"--day", testdata + "bad_day_crops.toml"},
			[]string{"trays = 0: out of range", "trays = 10000: out of range", "has no recipe"}},
		{"both at once", []string{"--line", testdata + "bad_line_values.toml", "--day", testdata + "bad_day_crops.toml"},
			[]string{"breaker_a = -20: negative", "trays = 10000: out of range"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for _, verb := range []string{"check", "rehearse"} {
				s := newShell(t)
				s.want(t, command.ExitBadInput, append([]string{verb}, tc.args...)...)
				text := s.err.String()
				for _, says := range tc.says {
					if !strings.Contains(text, says) {
						t.Errorf("%s does not say %q:\n%s", verb, says, text)
					}
				}
				lines := strings.Split(strings.TrimSpace(text), "\n")
				for _, l := range lines[1 : len(lines)-1] {
					if !faultLine.MatchString(l) {
						t.Errorf("%s: not a fault with place and mend: %s", verb, l)
					}
				}
				if s.out.Len() > 0 {
					t.Errorf("%s printed an answer all the same: %s", verb, s.out.String())
				}
				if _, err := os.Stat(s.vars["SHEDBELL_DATA"]); err == nil {
					t.Errorf("%s made the data folder although a file has faults", verb)
				}
			}
		})
	}
}

func TestBadLineFileStopsAmpsAndBoard(t *testing.T) {
	bad := testdata + "bad_line_small.toml"
	s := newShell(t)
	s.want(t, command.ExitBadInput, "amps", "--line", bad, "--start", "fans:low")
	s.env.Terminal = true
	s.env.Board = func(command.BoardOptions) error {
		t.Error("the board was opened on a bad line file")
		return nil
	}
	s.want(t, command.ExitBadInput, "--line", bad)
}

// A bad recipe file is no reason to blame every crop of the day sheet.
func TestBadRecipesAreNotBlamedOnTheDay(t *testing.T) {
	s := newShell(t)
	path := filepath.Join(t.TempDir(), "recipes.toml")
	put(t, path, "[[recipe]]\ncrop = \"pea\"\nsoak = \"-3m\"\n")
	s.want(t, command.ExitBadInput, "check", "--recipes", path, "--day", testdata+"command/small_day.toml")
	text := s.err.String()
	if !strings.Contains(text, "soak = \"-3m\"") || !strings.Contains(text, "not checked") || strings.Contains(text, "has no recipe") {
		t.Errorf("says:\n%s", text)
	}
}

func TestHugeFileIsNotReadWhole(t *testing.T) {
	s := newShell(t)
	path := filepath.Join(t.TempDir(), "line.toml")
	put(t, path, "")
	if err := os.Truncate(path, 1<<40); err != nil { // sparse: takes no room
		t.Skip("no sparse files here: ", err)
	}
	s.want(t, command.ExitBadInput, "check", "--line", path)
	if !strings.Contains(s.err.String(), "too many") {
		t.Errorf("says: %s", s.err.String())
	}
}

// A plug moved to a spare circuit lets more run together; check says which.
func TestCheckProposesAMove(t *testing.T) {
	s := newShell(t)
	path := filepath.Join(t.TempDir(), "line.toml")
	spare := "[[circuit]]\nname = \"spare\"\nbreaker_a = 20\n\n[[load]]\nname = \"pressure-washer\""
	put(t, path, strings.Replace(read(t, testdata+"command/tight_line.toml"), "[[load]]\nname = \"pressure-washer\"", spare, 1))
	s.want(t, 0, "check", "--line", path, "--day", testdata+"command/small_day.toml")
	text := strings.Join(strings.Fields(s.out.String()), " ")
	if !regexp.MustCompile(`Proposal: move the plug of [a-z-]+ from "(wet|dry)" to "spare"`).MatchString(text) || !strings.Contains(text, "Ask an electrician") {
		t.Errorf("no proposal to use the spare circuit:\n%s", s.out.String())
	}
	fits(t, s.out.String())
}

// 80 percent of the circuit is the most that one load on a cord and plug may take:
// NEC 210.23(A)(1).
func TestCheckFindsTooLargeALoad(t *testing.T) {
	s := newShell(t)
	s.want(t, 0, "check", "--line", testdata+"command/tight_line.toml")
	if text := s.out.String(); !strings.Contains(text, "cord-and-plug: pressure washer draws 14.0 A") {
		t.Errorf("14 A on a plug of a 15 A circuit is not found:\n%s", text)
	}
}

// What the interlock lets start in no case is said first, and why; and what only the
// starting currents keep apart is not said to be possible at once.
func TestCheckAsksTheInterlock(t *testing.T) {
	s := newShell(t)
	line := read(t, testdata+"command/tight_line.toml")
	path := filepath.Join(t.TempDir(), "line.toml")
	checked := func(text string) string {
		t.Helper()
		put(t, path, text)
		s.want(t, 0, "check", "--line", path)
		fits(t, s.out.String())
		return strings.Join(strings.Fields(s.out.String()), " ")
	}
	if text := checked(line); strings.Contains(text, "Can never start") {
		t.Errorf("everything starts, and it says:\n%s", text)
	}
	hard := strings.Replace(line, "name = \"fan\"\ncircuit = \"wet\"\namps = 2", "name = \"fan\"\ncircuit = \"wet\"\namps = 2\nstarting_a = 90\nstarting = \"2s\"", 1)
	text := checked(hard)
	if first, table := strings.Index(text, "Can never start"), strings.Index(text, "circuit limit A"); hard == line || first < 0 || first > table || !strings.Contains(text, "fan: ") {
		t.Errorf("a start of 90 A on 15 A:\n%s", text)
	}
}
