package command_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shedbell/line/files"
	"shedbell/ui/command"
)

// In a folder with a journal and no line file every command goes by the line that was
// laid last, and says so: the starter allows this start, the shed's own line does not.
func TestWithoutALineFileTheJournalsLineGoesOn(t *testing.T) {
	tight := testdata + "command/tight_line.toml"
	site, faults := files.ReadLine(tight, []byte(read(t, tight)))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	s := newShell(t)
	question := []string{"amps", "--on", "tub-blower", "--start", "pressure-washer", "--json"}
	ask := func(code int, note string) {
		t.Helper()
		s.want(t, code, question...)
		if got := strings.Join(strings.Fields(s.err.String()), " "); strings.Contains(got, "going by the line of Tight shed, laid on 2026-12-03") != (note != "") {
			t.Errorf("says %q", got)
		}
		var v struct {
			Circuit string
			LimitA  float64 `json:"limit_a"`
		}
		if s.decode(t, &v); (v.Circuit == "wet") != (note != "") {
			t.Errorf("judged %+v", v)
		}
	}
	ask(command.ExitRefused, "") // an empty folder: the starter
	year := newSeasonOf(t, s.vars["SHEDBELL_DATA"], site)
	if err := year.line.Wait(t.Context(), year.line.State().Seq); err != nil {
		t.Fatal(err)
	}
	ask(command.ExitRefused, "journal") // while the board is open
	year.close()
	ask(command.ExitRefused, "journal")
	for _, args := range [][]string{{"check"}, {"plan", "--budget", "50ms"}, {"rehearse"}} {
		s.run(args...) // the starter day need not fit this shed
		if !strings.Contains(s.out.String()+s.err.String(), "Tight shed") {
			t.Errorf("%s says\n%s%s", args[0], s.out.String(), s.err.String())
		}
	}
	put(t, filepath.Join(s.vars["SHEDBELL_DATA"], "line.toml"), string(files.StarterLine()))
	ask(command.ExitRefused, "") // a file counts, also before the board has taken it over
}

// The board gets no line where there's no file: the journal's goes on. It opens also
// where the journal has to be recovered first.
func TestTheBoardIsToldThatThereIsNoLineFile(t *testing.T) {
	s := newShell(t)
	dir := s.vars["SHEDBELL_DATA"]
	var got command.BoardOptions
	s.env.Terminal = true
	s.env.Board = func(o command.BoardOptions) error { got = o; return nil }
	if s.want(t, 0); got.LineFile {
		t.Error("a line file in an empty folder")
	}
	put(t, filepath.Join(dir, "shedbell.db"), strings.Repeat("no journal ", 1000))
	put(t, filepath.Join(dir, "day.toml"), read(t, testdata+"command/small_day.toml"))
	if s.want(t, 0); got.LineFile || got.Sheet != nil {
		t.Errorf("%+v", got)
	}
	if err := os.WriteFile(filepath.Join(dir, "line.toml"), files.StarterLine(), 0o600); err != nil {
		t.Fatal(err)
	}
	if s.want(t, 0); !got.LineFile {
		t.Error("the line file is not seen")
	}
}
