package powerui

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line/linetest"
	"shedbell/line/say"
	"shedbell/ui/screen"
)

func press(k string) tea.KeyMsg {
	if k == "enter" {
		return tea.KeyMsg{Type: tea.KeyEnter}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
}

// A screen that only watches the line switches nothing and says so.
func TestWatchingSwitchesNothing(t *testing.T) {
	d := newDay()
	env := d.env()
	env.Watching = screen.Watching{Says: say.Speech{say.New("This screen watches.")}}
	v := New()
	for _, k := range []string{"enter", "."} {
		cmd, _ := screen.Actions(env, v).Press(&env.Context, press(k))
		if cmd == nil || v.ask != nil {
			t.Fatalf("%s gives no answer, or a question", k)
		}
		if say, ok := cmd().(screen.SayMsg); !ok || say.Text != "Not from here. This screen watches." {
			t.Errorf("%s gives %#v", k, cmd())
		}
	}
	if v.Actions(env).Press(&env.Context, press("4")); v.load != linetest.Fans {
		t.Error("a load cannot be chosen to be looked at")
	}
}

// No two keys of the screen mean the same.
func TestKeysAreDistinct(t *testing.T) {
	d := newDay()
	used := map[string]string{}
	for _, b := range New().Actions(d.env()) {
		for _, k := range b.Keys() {
			if k == "up" || k == "down" {
				continue // the arrows stand together in the help
			}
			if was, ok := used[k]; ok {
				t.Errorf("%q means %q and %q", k, was, b.Help().Desc)
			}
			used[k] = b.Help().Desc
		}
	}
}
