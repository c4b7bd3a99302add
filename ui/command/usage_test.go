package command_test

import (
	"path/filepath"
	"strings"
	"testing"

	"shedbell/ui/command"
)

// A mistake on the command line is answered with what would be right, and with the
// help of the command that was meant.
func TestMistakesSayWhatIsRight(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"recrods", `did you mean "records"? See what there is with: shedbell --help`},
		{"records dya", `there's no "dya", did you mean "day"? There is day, time,`},
		{"records dya", "shedbell records --help"},
		{"plan --bugdet 2s", `did you mean "--budget"? See what there is with: shedbell plan --help`},
		{"plan --budget 2", `--budget "2" is not a time. Give a number with its unit, like 2s`},
		{"plan --budget -1s", "--budget needs a value after it; -1s looks like a flag"},
		{"plan --budget=-1s", "--budget -1s is out of range"},
		{"plan --bench nowhere", "there's no folder nowhere"},
		{"rehearse --seed abc", `--seed "abc" is no whole number`},
		{"demo --speed fast", `--speed "fast" is no number`},
		{"amps --start", "--start needs a value after it"},
		{"amps", "--start=LOAD is missing See what there is with: shedbell amps --help"},
		{"backup", "say which, like: shedbell backup FILE"},
		{"restore", "say which, like: shedbell restore FILE"},
		{"restore nowhere.db", "there's no file nowhere.db. Daily copies are in"},
		{"recipes", "say what shedbell recipes should do: export, import"},
		{"recipes import", "say which, like: shedbell recipes import FILE"},
		{"recipes import nowhere.toml", "there's no file nowhere.toml"},
		{"recipes import .", "is a folder"},
		{"recipes export " + filepath.Join("nowhere", "x.toml"), "there's no folder nowhere"},
	} {
		s := newShell(t)
		s.want(t, command.ExitBadInput, strings.Fields(c.line)...)
		if got := strings.Join(strings.Fields(s.err.String()), " "); !strings.Contains(got, c.want) {
			t.Errorf("shedbell %s:\n%s\nnot %q", c.line, got, c.want)
		}
	}
}
