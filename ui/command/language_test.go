package command

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/alecthomas/kong"
	"github.com/pelletier/go-toml/v2"

	"shedbell/line/linetest"
	"shedbell/line/say"
	"shedbell/ui/words"
)

// Every command and every flag has its help, and every text is that of a command or a
// flag that there is.
func TestEveryCommandIsDescribed(t *testing.T) {
	said := map[string]bool{}
	k := parser(&cli{}, words.English(), Env{Stdout: io.Discard, Stderr: io.Discard}, func(int) {})
	var walk func(n *kong.Node, table string)
	walk = func(n *kong.Node, table string) {
		said[table+".about"], said[table+".more"] = true, true
		if n.Help == "" {
			t.Errorf("%s has no help", table)
		}
		for _, f := range n.Flags {
			said[table+"."+f.Name] = true
			if f.Help == "" || f.PlaceHolder == "" && !f.IsBool() || strings.HasPrefix(f.PlaceHolder, "holder.") {
				t.Errorf("%s --%s: help %q, value %q", table, f.Name, f.Help, f.PlaceHolder)
			}
		}
		for _, a := range n.Positional {
			if a.Help == "" || strings.Contains(a.Name, ".") {
				t.Errorf("%s %s has no help", table, a.Name)
			}
		}
		for _, c := range n.Children {
			walk(c, table+"-"+c.Name)
		}
	}
	walk(k.Model.Node, "use")
	for _, argument := range []string{"use-backup.file", "use-restore.file", "use-recipes-export.file", "use-recipes-import.file", "use-records.what", "use-records.lot-code", "use-completion.shell", "use-verify.words", "use-export.dir", "use-import.file"} {
		said[argument] = true // whose names are translated
	}
	data, err := os.ReadFile("../../line/say/lang/en/usage.toml")
	if err != nil {
		t.Fatal(err)
	}
	var tables map[string]map[string]any
	if err := toml.Unmarshal(data, &tables); err != nil {
		t.Fatal(err)
	}
	for table, keys := range tables {
		for key := range keys {
			if (table == "use" || strings.HasPrefix(table, "use-")) && !said[table+"."+key] {
				t.Errorf("there is no such command or flag: %s.%s", table, key)
			}
		}
	}
}

// The command line's language comes before that of its environment, that before the
// settings', and theirs before the system's.
func TestLanguageOfTheCommandLine(t *testing.T) {
	for _, tc := range []struct {
		name, settings, want string
		args                 []string
		env                  map[string]string
	}{
		{name: "nobody says", want: "en"},
		{name: "system", env: map[string]string{"LANG": "es_CL.UTF-8"}, want: "es"},
		{name: "settings", settings: "language = 'es'\n", want: "es"},
		{name: "settings before the system", settings: "language = 'en'\n", env: map[string]string{"LANG": "es"}, want: "en"},
		{name: "variable before the settings", settings: "language = 'en'\n", env: map[string]string{"SHEDBELL_LANGUAGE": "es"}, want: "es"},
		{name: "flag before the variable", env: map[string]string{"SHEDBELL_LANGUAGE": "es"}, args: []string{"check", "--language", "en"}, want: "en"},
		{name: "flag in one word", args: []string{"--language=es", "check"}, want: "es"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			dir := t.TempDir()
			if tc.settings != "" {
				if err := os.WriteFile(filepath.Join(dir, PrefsFile), []byte(tc.settings), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			w, err := speaker(append(tc.args, "--data", dir), Env{Getenv: func(key string) string { return tc.env[key] }})
			if err != nil || w.Language() != tc.want {
				t.Errorf("speaks %v, %v, want %s", w, err, tc.want)
			}
		})
	}
	var out bytes.Buffer
	code := Run(context.Background(), []string{"--language=xx", "check"}, Env{Stdout: io.Discard, Stderr: &out, Getenv: func(string) string { return "" },
		Now: func() time.Time { return linetest.Morning }})
	if code != ExitBadInput || !strings.Contains(out.String(), strings.Join(say.Languages(), ", ")) {
		t.Errorf("exit code %d, %q", code, &out)
	}
}
