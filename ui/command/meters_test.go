package command_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/crypto/bcrypt"

	"shedbell/line/live/meters"
	"shedbell/line/meter"
	"shedbell/ui/command"
)

func TestMeters(t *testing.T) {
	s := newShell(t)
	dir := s.vars["SHEDBELL_DATA"]
	s.want(t, command.ExitBadInput, "meters")
	value, age := 6.5, 2.0
	report := meters.Report{At: time.Date(2026, 12, 3, 7, 0, 0, 0, time.UTC), Address: "127.0.0.1:1883", Meters: []meters.Entry{
		{Kind: meter.Load, Of: "spinner", Topic: "shed/spinner", Value: &value, AgeS: &age, Unit: "A", Fresh: true, State: "on"},
		{Kind: meter.Fridge, Of: "fridge", Topic: "cold", Unit: "C"}}}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := report.Keep(dir); err != nil {
		t.Fatal(err)
	}
	s.want(t, command.ExitOK, "meters")
	if out := s.out.String(); !regexp.MustCompile(`spinner +6.5 A +2 s +on +shed/spinner\n`).MatchString(out) || !strings.Contains(out, "nothing yet") || !strings.Contains(out, "No board listens now") {
		t.Error(out)
	}
	s.want(t, command.ExitOK, "meters", "--json")
	var got meters.Report
	if err := json.Unmarshal(s.out.Bytes(), &got); err != nil || len(got.Meters) != 2 || *got.Meters[0].Value != 6.5 || got.Meters[1].Value != nil || got.Meters[0].State != "on" {
		t.Errorf("%v %s", err, s.out.String())
	}
}

// The hash is one that the broker lets in, and that it lets nobody else in by.
func TestAPasswordForAMeter(t *testing.T) {
	s := newShell(t)
	s.env.Stdin = strings.NewReader("rake and hoe\n")
	s.want(t, command.ExitOK, "meters", "password")
	hash := []byte(strings.TrimSpace(s.out.String()))
	if bcrypt.CompareHashAndPassword(hash, []byte("rake and hoe")) != nil || bcrypt.CompareHashAndPassword(hash, []byte("rake and how")) == nil {
		t.Errorf("%s", hash)
	}
	s.env.Stdin = strings.NewReader("short\n")
	s.want(t, command.ExitBadInput, "meters", "password")
}

// Each start is found with the second reading at the latest after it, each end too: the
// meters of the simulation speak every 1 to 5 s, and one more passes before off is sure
// for a meter of 1 s.
func TestASimulatedShedWithMeters(t *testing.T) {
	s := newShell(t)
	t.Setenv("TMPDIR", t.TempDir())
	s.want(t, command.ExitOK, "meters", "simulate")
	lines := regexp.MustCompile(`found (on|off).*, ([0-9]+) s after`).FindAllStringSubmatch(s.out.String(), -1)
	if len(lines) < 40 {
		t.Fatalf("%d starts and ends in half an hour:\n%s", len(lines), s.out.String())
	}
	for _, l := range lines {
		if after, err := strconv.Atoi(l[2]); err != nil || after > 10 {
			t.Errorf("%s", l[0])
		}
	}
	if left, err := filepath.Glob(filepath.Join(os.TempDir(), "shedbell-meters-*")); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v %v", left, err)
	}
}
