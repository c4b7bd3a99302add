package setup

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"pgregory.net/rapid"

	"shedbell/line/files"
	"shedbell/line/say"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/words"
)

var update = flag.Bool("update", false, "write the golden screens again")

var keyTypes = map[string]tea.KeyType{"enter": tea.KeyEnter, "esc": tea.KeyEsc, "up": tea.KeyUp, "down": tea.KeyDown,
	"backspace": tea.KeyBackspace, "shift+tab": tea.KeyShiftTab, "ctrl+c": tea.KeyCtrlC, "pgdown": tea.KeyPgDown}

// press sends keys; what is no name of a key is typed letter by letter. It says
// whether the program has ended.
func press(m *model, keys ...string) (ended bool) {
	send := func(k tea.KeyMsg) {
		if m.View(); ended {
			return // a form takes no key before it has been seen
		}
		if _, cmd := m.Update(k); cmd != nil {
			ended = true
		}
	}
	for _, k := range keys {
		if kind, ok := keyTypes[k]; ok {
			send(tea.KeyMsg{Type: kind})
			continue
		}
		for _, r := range k {
			send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
		}
	}
	return ended
}

func screenOf(t interface{ Fatal(...any) }, src, language string, opt theme.Options, w, h int) (*model, *result) {
	v, r := start(t, src, language)
	texts, err := words.New(language, say.Prefs{})
	if err != nil {
		t.Fatal(err)
	}
	m := newModel(v, texts, screen.Prefs{}, opt)
	m.Update(tea.WindowSizeMsg{Width: w, Height: h})
	return m, r
}

var mono = theme.Options{Name: theme.Mono, Profile: termenv.Ascii}

func golden(t *testing.T, name string, m *model) {
	t.Helper()
	view := ansi.Strip(m.View())
	rows := strings.Split(view, "\n")
	for i, row := range rows {
		if w := ansi.StringWidth(row); w != m.w {
			t.Errorf("%s: row %d is %d cells wide, want %d", name, i, w, m.w)
		}
		rows[i] = strings.TrimRight(row, " ")
	}
	got := strings.Join(rows, "\n") + "\n"
	path := filepath.Join("../../testdata/golden/ui/setup", name+".golden")
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
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

// TestScreens keeps the screens in every language and at every size; the smallest
// also without drawn lines.
func TestScreens(t *testing.T) {
	for _, language := range say.Languages() {
		for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}} {
			opt := mono
			opt.ASCII = size[0] == 60
			m, _ := screenOf(t, string(files.StarterLine()), language, opt, size[0], size[1])
			at := func(name string) string {
				if language != "en" {
					name += "-" + language
				}
				return fmt.Sprintf("%s/%dx%d", name, size[0], size[1])
			}
			golden(t, at("hub"), m)
			press(m, "7")
			golden(t, at("together"), m)
			press(m, "1", "5", "1", "enter", "enter", "1", "24")
			golden(t, at("refused"), m)
			press(m, "backspace", "backspace", "0", "enter")
			golden(t, at("bad-number"), m)
			press(m, "14", "enter", "3", "enter", "2", "1", "1")
			golden(t, at("cord"), m)
			press(m, "4", "enter", "5", "9")
			golden(t, at("machine-goes"), m)
		}
	}
}

// A whole new shed with the number pad, but for the names.
func TestNewShedByNumberPad(t *testing.T) {
	m, r := screenOf(t, "", "en", mono, 80, 24)
	press(m, "Alder shed", "enter", "Ash", "enter", "1", "2")        // two wires, no feeder
	press(m, "wall", "enter", "enter", "3", "1", "2")                // 20 A with a GFCI, no other
	press(m, "fridge", "enter", "1", "1", "6", "enter", "2", "3")    // six times at the start, by itself
	press(m, "2", "1", "1", "1")                                     // dry, a plug, a cord that nobody knows, another one
	press(m, "spinner", "enter", "1", "3", "0.5", "enter", "2", "1") // half a horsepower
	press(m, "1", "1", "1", "2")                                     // wet, a plug, no other
	for m.talk.now.key != "hub" {
		press(m, "enter")
	}
	press(m, "8", "1")
	if !r.write {
		t.Fatalf("not written; it shows\n%s", m.View())
	}
	site, faults := files.ReadLine("line.toml", []byte(r.data))
	if len(faults) > 0 {
		t.Fatalf("%v\n%s", faults, r.data)
	}
	// 1/2 hp at 115 V takes 9.8 A: NEC Table 430.248.
	if l := site.Panel.Loads[1]; l.WorstA() != 9.8 || l.StartingA != 59 || !l.Wet || l.HardWired {
		t.Errorf("spinner %+v", l)
	}
	if l := site.Panel.Loads[0]; l.WorstA() != 6 || !l.Cycles || !l.StaysOn || l.Alone {
		t.Errorf("fridge %+v", l)
	}
	if spin := site.StationsOf(2); len(spin) != 1 || site.Stations[spin[0]].Load != 1 {
		t.Errorf("the spinner is not at its station: %+v", site.Stations)
	}
}

func TestLeavingWritesNothing(t *testing.T) {
	for _, keys := range [][]string{{"ctrl+c"}, {"esc"}, {"/"}, {"2", "ctrl+c", "ctrl+c"}, {"1", "x", "enter", "esc", "esc", "esc"}, {"9", "1"}} {
		m, r := screenOf(t, string(files.StarterLine()), "en", mono, 80, 24)
		if !press(m, keys...) {
			t.Fatalf("%q: has not left:\n%s", keys, m.View())
		}
		var out bytes.Buffer
		path := filepath.Join(t.TempDir(), "line.toml")
		if err := finish(Options{Path: path, Out: &out, Words: words.English()}, r); err != nil || out.String() != "Nothing was written.\n" {
			t.Errorf("%q: says %q, %v", keys, out.String(), err)
		}
		if _, err := os.Stat(path); !os.IsNotExist(err) {
			t.Errorf("%q: something was written", keys)
		}
	}
}

// What was answered is not lost by one slip of a finger.
func TestLeavingAsksOnce(t *testing.T) {
	m, _ := screenOf(t, "", "en", mono, 80, 24)
	if press(m, "Alder", "enter", "ctrl+c") || !strings.Contains(m.View(), "once more to leave") {
		t.Errorf("left at once:\n%s", m.View())
	}
	press(m, "R")
	if !strings.Contains(m.View(), "[R") || strings.Contains(m.View(), "once more") {
		t.Errorf("did not go on:\n%s", m.View())
	}
	press(m, "esc")
	if !strings.Contains(m.View(), "[Alder]") {
		t.Errorf("did not go back to the question before:\n%s", m.View())
	}
	if press(m, "x", "esc") || !strings.Contains(m.View(), "once more to leave") {
		t.Errorf("left at once:\n%s", m.View())
	}
}

// A digit that was meant for the list before does not get into a name, neither an
// empty one nor one that is there.
func TestADigitTooLateIsNoName(t *testing.T) {
	m, _ := screenOf(t, string(files.StarterLine()), "en", mono, 80, 24)
	press(m, "5", "1", "1")
	if !strings.Contains(m.View(), "[pressure-washer]") || !strings.Contains(m.View(), "A name begins with a letter") {
		t.Errorf("the name of a machine that is there:\n%s", m.View())
	}
	press(m, "esc", "8", "8", "rack fans 2")
	if !strings.Contains(m.View(), "[rack fans 2") {
		t.Errorf("the name of a new machine:\n%s", m.View())
	}
}

// The start that was assumed for a motor is not taken for what its plate says when
// the machine is looked at again (six times, common practice, no source).
func TestAnAssumedStartStaysAssumed(t *testing.T) {
	v, r := start(t, string(files.StarterLine()), "en")
	spinner := slices.Index([]string{"pressure-washer", "tub-blower", "spinner"}, "spinner")
	through := func(how string) {
		v.give(answer{pick: hubMachines})
		v.give(answer{pick: spinner})
		for v.now.key != "hub" {
			if v.now.key == "start" && how != "" {
				reply(t, v, "How does it start", how)
				how = ""
				continue
			}
			if v.now.key == "amps" && how == "" {
				v.give(answer{text: "9"}) // and more amps take a larger start
				continue
			}
			if v.now.key == "start" && v.now.pick != startsUnsaid {
				t.Errorf("offers choice %d of %q", v.now.pick, v.now.choices)
			}
			v.give(answer{pick: v.now.pick, text: v.now.value})
		}
	}
	through("a motor; the nameplate doesn't")
	through("")
	v.give(answer{pick: hubWrite})
	v.give(answer{})
	if !strings.Contains(r.data, "amps = 9\nstarting_a = 54\n") {
		t.Errorf("written is\n%s", r.data)
	}
}

// A number that is offered gives way to the first digit; what is typed stays when
// the terminal changes its size.
func TestTheFirstDigitReplacesTheNumber(t *testing.T) {
	m, _ := screenOf(t, string(files.StarterLine()), "en", mono, 80, 24)
	press(m, "4", "1", "enter", "1")
	m.Update(tea.WindowSizeMsg{Width: 60, Height: 20})
	press(m, "5", "enter", "3", "1")
	if got := m.talk.now.key; got != "hub" {
		t.Fatalf("at %q:\n%s", got, m.View())
	}
	press(m, "4", "1", "enter")
	if !strings.Contains(m.View(), "[15] amps") {
		t.Errorf("the breaker is not one of 15 A:\n%s", m.View())
	}
	press(m, "1", "backspace", "6")
	if !strings.Contains(m.View(), "[6▏]") {
		t.Errorf("a digit cannot be changed:\n%s", m.View())
	}
}

// Any keys and sizes: never a panic, every line as wide as the terminal, and the
// question always there.
func TestAnyKeysAndSizes(t *testing.T) {
	keys := []string{"0", "1", "2", "3", "4", "7", "9", "+", "-", "*", "/", ".", "x", "enter", "up", "down", "backspace", "shift+tab", "esc", "pgdown"}
	rapid.Check(t, func(t *rapid.T) {
		m, _ := screenOf(t, rapid.SampledFrom([]string{"", string(files.StarterLine())}).Draw(t, "file"),
			rapid.SampledFrom(say.Languages()).Draw(t, "language"), mono, 80, 24)
		for range rapid.IntRange(1, 40).Draw(t, "steps") {
			if rapid.IntRange(0, 9).Draw(t, "resize") == 0 {
				m.Update(tea.WindowSizeMsg{Width: rapid.IntRange(1, 200).Draw(t, "w"), Height: rapid.IntRange(1, 60).Draw(t, "h")})
			} else if press(m, rapid.SampledFrom(keys).Draw(t, "key")) {
				return
			}
			view := m.View()
			rows := strings.Split(ansi.Strip(view), "\n")
			if len(rows) != m.h {
				t.Fatalf("%d rows, want %d", len(rows), m.h)
			}
			for _, row := range rows {
				if ansi.StringWidth(row) != m.w {
					t.Fatalf("a row is %d cells wide, want %d: %q", ansi.StringWidth(row), m.w, row)
				}
			}
			if word, _, _ := strings.Cut(m.talk.now.title, " "); m.w >= 20 && m.h >= 8 && !strings.Contains(view, word) {
				t.Fatalf("the question %q is not there\n%s", m.talk.now.title, view)
			}
		}
	})
}
