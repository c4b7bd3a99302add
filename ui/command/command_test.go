package command_test

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/charmbracelet/x/ansi"

	"shedbell/line/say"
	"shedbell/ui/command"
)

var update = flag.Bool("update", false, "write the golden files again")

const testdata = "../../testdata/"

var nine = time.Date(2026, 12, 3, 9, 0, 0, 0, time.UTC)

// shell is one call of the program and what it printed.
type shell struct {
	env      command.Env
	out, err bytes.Buffer
	vars     map[string]string
}

// newShell is a machine without a terminal on which nothing is set up.
func newShell(t *testing.T) *shell {
	t.Helper()
	s := &shell{vars: map[string]string{"SHEDBELL_DATA": filepath.Join(t.TempDir(), "data")}}
	s.env = command.Env{Stdin: strings.NewReader(""), Stdout: &s.out, Stderr: &s.err,
		Getenv: func(key string) string { return s.vars[key] },
		Now:    func() time.Time { return nine }}
	return s
}

func (s *shell) run(args ...string) int {
	s.out.Reset()
	s.err.Reset()
	return command.Run(context.Background(), args, s.env)
}

// want runs a command line and checks its exit code.
func (s *shell) want(t *testing.T, code int, args ...string) {
	t.Helper()
	if got := s.run(args...); got != code {
		t.Fatalf("shedbell %s: exit code %d, want %d\n%s%s", strings.Join(args, " "), got, code, s.out.String(), s.err.String())
	}
}

// decode reads the output as one JSON object and nothing after it.
func (s *shell) decode(t *testing.T, into any) {
	t.Helper()
	d := json.NewDecoder(&s.out)
	if err := d.Decode(into); err != nil {
		t.Fatal(err)
	}
	if d.More() {
		t.Error("more than one JSON value was printed")
	}
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join(testdata, "golden", "command", name+".golden")
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; look, then run with -update\n--- got\n%s--- want\n%s", path, got, want)
	}
}

func TestGolden(t *testing.T) {
	tight := testdata + "command/tight_line.toml"
	small := testdata + "command/small_day.toml"
	for _, tc := range []struct {
		name string
		code int
		args []string
	}{
		{"help", 0, []string{"--help"}},
		{"help_amps", 0, []string{"amps", "--help"}},
		{"rehearse_small", 0, []string{"rehearse", "--line", tight, "--day", small}},
		{"check_starter", 0, []string{"check"}},
		{"check_tight", 0, []string{"check", "--line", tight, "--day", small}},
		{"amps_allowed", 0, []string{"amps", "--on", "fridge,fans:low", "--start", "tub-blower"}},
		{"amps_refused", 3, []string{"amps", "--line", tight, "--on", "fan", "--start", "washer"}},
		{"amps_unknown", 1, []string{"amps", "--on", "fans:low", "--start", "presure-washer"}},
		{"board_no_terminal", 2, nil},
	} {
		for _, language := range say.Languages() {
			name := tc.name
			if language != "en" {
				name += "." + language
			}
			t.Run(name, func(t *testing.T) {
				s := newShell(t)
				s.want(t, tc.code, append(tc.args, "--language", language)...)
				got := s.out.String()
				if s.err.Len() > 0 {
					got += "--- standard error\n" + s.err.String()
				}
				golden(t, name, got)
				fits(t, got)
			})
		}
	}
}

// fits checks that text suits a terminal of 80 columns and moves no cursor.
func fits(t *testing.T, text string) {
	t.Helper()
	for i, l := range strings.Split(text, "\n") {
		if w := ansi.StringWidth(l); w > 80 {
			t.Errorf("line %d is %d columns wide: %s", i+1, w, l)
		}
		if strings.ContainsFunc(l, unicode.IsControl) || strings.HasSuffix(l, " ") {
			t.Errorf("line %d has a control character or ends in a space: %q", i+1, l)
		}
	}
}

func TestEveryErrorSaysWhatToDo(t *testing.T) {
	for _, tc := range []struct {
		args string
		says string
	}{
		{"frobnicate", "shedbell --help"},
		{"amps", "--start"},
		{"amps --start fans:hgh", "low, medium and high"},
		{"amps --start fans:", "fans:low"},
		{"amps --start pump --on pump,drain-pump", "Name it once"},
		{"amps --start fans --on-for=-1h", "0s to 48h"},
		{"amps --start fans --for 99h", "0s to 48h"},
		{"amps --start \x1b[31mfans", "Known loads: pressure-washer"},
		{"rehearse --seed x", "shedbell rehearse --help"},
		{"rehearse --day no-such-day.toml", "leave it out"},
		{"check --line " + testdata, "give --line the file in it"},
		{"demo --speed 0", "Give 0.1 to 600"},
		{"demo --speed NaN", "Give 0.1 to 600"},
		{"demo --line x.toml", "Leave out"},
	} {
		s := newShell(t)
		s.want(t, command.ExitBadInput, strings.Split(tc.args, " ")...)
		text := strings.Join(strings.Fields(s.err.String()), " ")
		if !strings.HasPrefix(text, "shedbell: ") || !strings.Contains(text, tc.says) {
			t.Errorf("%q: says %q, want %q", tc.args, text, tc.says)
		}
		if s.out.Len() > 0 || strings.Contains(s.err.String(), "\x1b") {
			t.Errorf("%q: printed %q, and on standard error %q", tc.args, s.out.String(), s.err.String())
		}
	}
}

func TestVersion(t *testing.T) {
	s := newShell(t)
	s.want(t, 0, "version")
	if got := strings.Fields(s.out.String()); len(got) < 3 || got[0] != "shedbell" {
		t.Errorf("version says %q", s.out.String())
	}
}
