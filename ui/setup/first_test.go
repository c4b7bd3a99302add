package setup

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"

	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

func firstStart(w, h int, language string) *first {
	prefs := screen.Prefs{Language: language}
	m := newFirst(Options{Theme: theme.Options{Name: theme.Mono, Profile: termenv.Ascii}, Words: prefs.Speaker()})
	m.Update(tea.WindowSizeMsg{Width: w, Height: h})
	return m
}

// TestFirstStartChooses: every way to begin has a digit, Enter takes the first, the
// marked one follows + and -, and leaving chooses nothing.
func TestFirstStartChooses(t *testing.T) {
	for keys, want := range map[string]Begin{"1": BeginWatch, "2": BeginPractice, "3": BeginSetup, "4": BeginLook,
		"\r": BeginWatch, "+\r": BeginPractice, "++-\r": BeginPractice, "-\r": BeginLook, "0": BeginNot, "q": BeginNot, "7": BeginNot} {
		m := firstStart(80, 24, "en")
		var cmd tea.Cmd
		for _, k := range keys {
			msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{k}}
			if k == '\r' {
				msg = tea.KeyMsg{Type: tea.KeyEnter}
			}
			_, cmd = m.Update(msg)
		}
		if m.chosen != want {
			t.Errorf("%q chooses %d, want %d", keys, m.chosen, want)
		}
		if _, quits := run(cmd).(tea.QuitMsg); quits != (keys != "7") {
			t.Errorf("%q leaves: %t", keys, quits)
		}
	}
}

func run(cmd tea.Cmd) tea.Msg {
	if cmd == nil {
		return nil
	}
	return cmd()
}

// TestFirstStartSaysWhoseBreakers: at every size, in every language, the ways to begin
// stand whole on the screen with the word that the breakers are not the reader's own.
func TestFirstStartSaysWhoseBreakers(t *testing.T) {
	for _, language := range []string{"en", "es"} {
		for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}, {300, 90}} {
			m := firstStart(size[0], size[1], language)
			rows := strings.Split(ansi.Strip(m.View()), "\n")
			if len(rows) != size[1] {
				t.Errorf("%v: %d rows", size, len(rows))
			}
			shown := strings.Join(strings.Fields(strings.Join(rows, " ")), " ")
			for _, key := range []string{"not-yours", "watch", "practice", "setup", "look"} {
				if text := m.env.Words.Say("first." + key); !strings.Contains(shown, text) {
					t.Errorf("%s at %v lacks %q:\n%s", language, size, text, strings.Join(rows, "\n"))
				}
			}
			for _, row := range rows {
				if canvas.Width(row) > size[0] {
					t.Errorf("%v: %q is too wide", size, row)
				}
			}
		}
	}
}
