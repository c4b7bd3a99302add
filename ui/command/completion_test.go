package command_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// everything lists the commands and the flags that the help knows.
func everything(t *testing.T) (commands, flags []string) {
	t.Helper()
	s := newShell(t)
	s.want(t, 0, "--help")
	_, list, _ := strings.Cut(s.out.String(), "Commands:\n")
	for _, m := range regexp.MustCompile(`(?m)^  ((?:[a-z]+ )*[a-z]+)(?:  |$)`).FindAllStringSubmatch(list, -1) {
		commands = append(commands, m[1])
	}
	for _, c := range append([]string{""}, commands...) {
		s.want(t, 0, append(strings.Fields(c), "--help")...)
		for _, m := range regexp.MustCompile(`(?m)^ +(?:-[a-z], )?--([a-z-]+)`).FindAllStringSubmatch(s.out.String(), -1) {
			if !slices.Contains(flags, m[1]) {
				flags = append(flags, m[1])
			}
		}
	}
	if len(commands) < 12 || len(flags) < 10 {
		t.Fatalf("the help lists only %v and %v", commands, flags)
	}
	return commands, flags
}

func script(t *testing.T, shell string) string {
	t.Helper()
	s := newShell(t)
	s.want(t, 0, "completion", shell)
	return s.out.String()
}

func TestCompletionKnowsEverything(t *testing.T) {
	commands, flags := everything(t)
	for _, shell := range []string{"bash", "zsh", "fish"} {
		text := script(t, shell)
		for _, c := range commands {
			for _, word := range strings.Fields(c) {
				if !regexp.MustCompile(`\b` + word + `\b`).MatchString(text) {
					t.Errorf("%s does not complete the command %q", shell, word)
				}
			}
		}
		for _, f := range flags {
			if !regexp.MustCompile(`(--|-l )` + f + `\b`).MatchString(text) {
				t.Errorf("%s does not complete the flag --%s", shell, f)
			}
		}
	}
}

// complete asks bash itself what it would offer for the last of the words.
func complete(t *testing.T, file, dir string, words ...string) []string {
	t.Helper()
	const ask = `source "$1"; shift
COMP_WORDS=(shedbell "$@"); COMP_CWORD=$#
_shedbell
printf '%s\n' "${COMPREPLY[@]}"`
	cmd := exec.Command("bash", append([]string{"--norc", "--noprofile", "-c", ask, "bash", file}, words...)...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	got := strings.Split(strings.TrimSuffix(string(out), "\n"), "\n")
	slices.Sort(got)
	return slices.DeleteFunc(got, func(s string) bool { return s == "" })
}

func TestBashCompletes(t *testing.T) {
	if _, err := exec.LookPath("bash"); err != nil {
		t.Skip("there is no bash here")
	}
	dir := t.TempDir()
	put(t, filepath.Join(dir, "a line.toml"), "")
	if err := os.Mkdir(filepath.Join(dir, "a folder"), 0o755); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "shedbell.bash")
	put(t, file, script(t, "bash"))
	if out, err := exec.Command("bash", "-n", file).CombinedOutput(); err != nil {
		t.Fatalf("bash does not read the script: %v\n%s", err, out)
	}
	for _, tc := range []struct{ words, want string }{
		{"vers", "version"}, {"ver", "verify version"}, {"ba", "backup"},
		{"recipes| ", "export import"},
		{"--da", "--data"},
		{"--data|x|wat", "watch"},
		{"--data|=|x|wat", "watch"},
		{"--data|a", "a folder"},
		{"--line|=|a", "a folder,a line.toml"},
		{"--line|=", "a folder,a line.toml"},
		{"amps|--o", "--on --on-for"},
		{"amps|--on|x", ""},
		{"amps|--da", "--data"},
		{"board|--o", ""},
		{"recipes|import|a", "a folder,a line.toml"},
		{"completion|z", "zsh"},
	} {
		words := strings.Split(strings.TrimSuffix(tc.words, "|"), "|")
		if words[len(words)-1] == " " {
			words[len(words)-1] = ""
		}
		sep := " "
		if strings.Contains(tc.want, "line") || strings.Contains(tc.want, "folder") {
			sep = ","
		}
		want := slices.DeleteFunc(strings.Split(tc.want, sep), func(s string) bool { return s == "" })
		if got := complete(t, file, dir, words...); !slices.Equal(got, want) {
			t.Errorf("%q: offers %q, want %q", tc.words, got, want)
		}
	}
}

// A shell that is not there is not taken for one that is.
func TestCompletionOfAnotherShell(t *testing.T) {
	s := newShell(t)
	s.want(t, 1, "completion", "tcsh")
	if text := strings.Join(strings.Fields(s.err.String()), " "); !strings.Contains(text, "bash") || s.out.Len() > 0 {
		t.Errorf("says %q and prints %q", text, s.out.String())
	}
}

// Other shells and groff are asked where they are there.
func TestOtherToolsReadTheScripts(t *testing.T) {
	for _, tc := range []struct {
		tool string
		args []string
		file string
		text func(t *testing.T) string
	}{
		{"zsh", []string{"-n"}, "_shedbell", func(t *testing.T) string { return script(t, "zsh") }},
		{"fish", []string{"--no-execute"}, "shedbell.fish", func(t *testing.T) string { return script(t, "fish") }},
		{"groff", []string{"-man", "-Tutf8", "-ww", "-z"}, "shedbell.1", manText},
	} {
		t.Run(tc.tool, func(t *testing.T) {
			if _, err := exec.LookPath(tc.tool); err != nil {
				t.Skip("there is no " + tc.tool + " here")
			}
			file := filepath.Join(t.TempDir(), tc.file)
			put(t, file, tc.text(t))
			out, err := exec.Command(tc.tool, append(tc.args, file)...).CombinedOutput()
			if err != nil || len(out) > 0 {
				t.Errorf("%v\n%s", err, out)
			}
		})
	}
}

func manText(t *testing.T) string {
	t.Helper()
	s := newShell(t)
	s.want(t, 0, "man")
	return s.out.String()
}

func TestManPage(t *testing.T) {
	text := manText(t)
	golden(t, "man", text)
	plain := strings.ReplaceAll(text, `\-`, "-")
	commands, flags := everything(t)
	for _, c := range commands {
		if !strings.Contains(plain, ".SS "+c+"\n") {
			t.Errorf("the man page has nothing on %s", c)
		}
	}
	for _, f := range flags {
		if !strings.Contains(plain, `\fB--`+f+`\fR`) && !strings.Contains(plain, `--`+f+`\fR`) {
			t.Errorf("the man page has nothing on --%s", f)
		}
	}
}
