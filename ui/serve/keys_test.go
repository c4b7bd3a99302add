package serve

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/muesli/termenv"

	"shedbell/recipes/strictfile/fuzztest"
	"shedbell/ui/theme"
)

// aKey is a new public key, as ssh-keygen writes one.
func aKey(t *testing.T) string { return public(newKey(t)) }

func TestReadKeys(t *testing.T) {
	operator, named, viewer, bare := newKey(t), newKey(t), newKey(t), newKey(t)
	keys, err := ReadKeys("ssh_keys", []byte("# who may come in\n\noperator "+public(operator)+" shed tablet\r\n"+
		`operator,by="Ash B" `+public(named)+"\nviewer "+public(viewer)+"\n"+public(bare)))
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		key  interface{ Marshal() []byte }
		want Person
	}{
		{operator.PublicKey(), Person{Operator: true}},
		{named.PublicKey(), Person{Operator: true, By: "Ash B"}},
		{viewer.PublicKey(), Person{}},
		{bare.PublicKey(), Person{}},
	} {
		if got, ok := keys[string(tc.key.Marshal())]; !ok || got != tc.want {
			t.Errorf("%+v, %t; want %+v", got, ok, tc.want)
		}
	}
	if len(keys) != 4 {
		t.Errorf("%d keys", len(keys))
	}
}

func TestKeyFaults(t *testing.T) {
	twice := aKey(t)
	text := strings.Join([]string{
		"operator " + twice,
		"ssh-ed25519 AAAA",
		"command=\"sh\" " + aKey(t), // authorized_keys has it, this file does not
		"operator,viewer " + aKey(t),
		"by=\"Ash\" " + aKey(t),
		"operator,by=\"\" " + aKey(t),
		"viewer " + twice,
		"\x1b[2Jnonsense",
	}, "\n")
	keys, err := ReadKeys("ssh_keys", []byte(text))
	if err == nil || keys != nil {
		t.Fatal("taken")
	}
	for _, want := range []string{"ssh_keys:2: no public key", `ssh_keys:3: "command=`, "ssh_keys:4: both", "ssh_keys:5: by=",
		"ssh_keys:6: by=", "ssh_keys:7: this key is already there", "ssh_keys:8: no public key"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q is not among\n%v", want, err)
		}
	}
	if strings.Contains(err.Error(), "\x1b") {
		t.Error("a control character is passed on")
	}
}

func FuzzKeys(f *testing.F) {
	f.Add([]byte("operator,by=\"Ash\" ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIGK0 a phone"))
	f.Add([]byte("# nothing\n\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		defer fuzztest.Bound(t)()
		keys, err := ReadKeys("ssh_keys", data)
		if (err == nil) != (keys != nil) {
			t.Errorf("keys %v with %v", keys, err)
		}
		for _, p := range keys {
			if p.By != "" && !p.Operator {
				t.Errorf("%+v", p)
			}
		}
	})
}

func TestKeyFileOnTheDisk(t *testing.T) {
	path := filepath.Join(t.TempDir(), "ssh_keys")
	if _, err := loadKeys(path); err == nil || !strings.Contains(err.Error(), "ssh-keygen") {
		t.Errorf("no file: %v", err)
	}
	if err := os.WriteFile(path, []byte("viewer "+aKey(t)), 0o600); err != nil {
		t.Fatal(err)
	}
	if keys, err := loadKeys(path); err != nil || len(keys) != 1 {
		t.Errorf("%v, %v", keys, err)
	}
	if runtime.GOOS == "windows" {
		return
	}
	if err := os.Chmod(path, 0o666); err != nil {
		t.Fatal(err)
	}
	if _, err := loadKeys(path); err == nil || !strings.Contains(err.Error(), "chmod go-w") {
		t.Errorf("others can change it: %v", err)
	}
}

func TestHostKeyIsKept(t *testing.T) {
	path := HostKeyFile(t.TempDir())
	first, err := hostKey(path)
	if err != nil {
		t.Fatal(err)
	}
	again, err := hostKey(path)
	if err != nil || !bytes.Equal(first, again) {
		t.Errorf("another key at the second start: %v", err)
	}
	if runtime.GOOS != "windows" {
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("mode %v, %v", info.Mode(), err)
		}
		if err := os.Chmod(path, 0o640); err != nil {
			t.Fatal(err)
		}
		if _, err := hostKey(path); err == nil || !strings.Contains(err.Error(), "chmod 600") {
			t.Errorf("others can read it: %v", err)
		}
	}
	if err := os.WriteFile(path, []byte("torn"), 0o600); err != nil || os.Chmod(path, 0o600) != nil {
		t.Fatal(err)
	}
	if _, err := hostKey(path); err == nil {
		t.Error("a broken key was taken, or replaced without a word")
	}
}

func TestLogIsBounded(t *testing.T) {
	path := LogFile(t.TempDir())
	log, file, err := OpenLog(path)
	if err != nil {
		t.Fatal(err)
	}
	for range 3 * maxLog / 1000 {
		log.Warn("refused", "what", strings.Repeat("x", 1000))
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{path, path + ".1"} {
		if info, err := os.Stat(name); err != nil || info.Size() > maxLog {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestLook(t *testing.T) {
	for _, tc := range []struct {
		term  string
		env   map[string]string
		want  termenv.Profile
		ascii bool
	}{
		{"xterm-256color", nil, termenv.ANSI256, false},
		{"xterm", nil, termenv.ANSI, false},
		{"xterm-256color", map[string]string{"COLORTERM": "truecolor"}, termenv.TrueColor, false},
		{"xterm-256color", map[string]string{"NO_COLOR": "1"}, termenv.Ascii, false},
		{"xterm-direct", map[string]string{"LANG": "C"}, termenv.TrueColor, true},
		{"xterm", map[string]string{"LANG": "C", "LC_ALL": "en_US.UTF-8"}, termenv.ANSI, false},
		{"vt100", nil, termenv.Ascii, true},
		{"dumb", nil, termenv.Ascii, true},
		{"", nil, termenv.Ascii, true},
	} {
		if got := look(theme.Auto, tc.term, tc.env); got.Profile != tc.want || got.ASCII != tc.ascii {
			t.Errorf("%q %v: %+v", tc.term, tc.env, got)
		}
	}
}
