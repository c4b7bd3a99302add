package command_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"os/exec"
	"path/filepath"
	"testing"

	"shedbell/ui/command"
)

// The program itself, as a script calls it: no terminal, answers in a pipe.
func TestProgram(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program")
	}
	program := filepath.Join(t.TempDir(), "shedbell")
	if out, err := exec.Command("go", "build", "-o", program, "shedbell").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	data := filepath.Join(t.TempDir(), "data")
	for _, tc := range []struct {
		code int
		args []string
	}{
		{command.ExitOK, []string{"rehearse", "--json"}},
		{command.ExitOK, []string{"check"}},
		{command.ExitOK, []string{"amps", "--start", "spinner"}},
		{command.ExitRefused, []string{"amps", "--on", "spinner", "--start", "pressure-washer"}},
		{command.ExitBadInput, []string{"amps", "--start", "kettle"}},
		{command.ExitNoTerminal, nil},
	} {
		cmd := exec.Command(program, append([]string{"--data", data}, tc.args...)...)
		var out, stderr bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &stderr
		err := cmd.Run()
		var exit *exec.ExitError
		if err != nil && !errors.As(err, &exit) {
			t.Fatal(err)
		}
		if code := cmd.ProcessState.ExitCode(); code != tc.code {
			t.Errorf("%v: exit code %d, want %d\n%s", tc.args, code, tc.code, stderr.String())
		}
		if tc.args != nil && tc.args[0] == "rehearse" {
			var day rehearsed
			if err := json.Unmarshal(out.Bytes(), &day); err != nil || day.Trays < 18 {
				t.Errorf("rehearse --json: %v, %d trays", err, day.Trays)
			}
		}
	}
}
