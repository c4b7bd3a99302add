package uitest_test

import (
	"strings"
	"testing"
	"time"

	"shedbell/line"
	"shedbell/line/linetest"
	"shedbell/ui/act"
	"shedbell/ui/theme"
	"shedbell/ui/uitest"
)

// everyKey is a broad set: the number pad, what a keyboard has beside it, letters that
// some screen uses and such that none does.
var everyKey = append(strings.Split("0123456789+-.*/=?abdefhjklmopqrstuwxzAÜ菜", ""),
	"enter", "esc", " ", "tab", "backspace", "up", "down", "left", "right", "pgup", "pgdown", "home", "end")

// keyScreens are the screens, and questions on them, by the keys that open them from
// the board.
var keyScreens = []struct{ name, keys string }{
	{"board", ""}, {"a station chosen", "2"}, {"the far board", "f"}, {"menu", "/"}, {"help", "?"}, {"log", "l"}, {"refusals", "l ."},
	{"station", "2 2"}, {"rack", "4 4"}, {"cutting table", "1 1 2"}, {"cold", "6 6"}, {"split", "1 1 2 s"}, {"scrap", "1 1 2 x"},
	{"out of use", "2 2 b"}, {"sign-off", "3 3 o"}, {"restart", "2 2 . a"},
	{"power", "/ 1"}, {"a breaker", "/ 1 ."}, {"plan", "/ 2"}, {"recipes", "/ 3"}, {"one recipe", "/ 3 1"}, {"records", "/ 4"},
	{"entries", "/ 4 3"}, {"clean-up", "/ 5"}, {"day", "/ 6"}, {"settings", "/ 8"}, {"backlog", "/ 9"}, {"new trouble", "/ 9 2"}, {"practice", "/ ."},
}

// keyStates are states of the line.
var keyStates = []struct {
	name string
	open bool // a day is open
	work int  // prompts followed before
	do   func(d *uitest.Driver)
	// another screen has the line
	watches bool
}{
	{name: "no day"},
	{name: "calm", open: true},
	{name: "busy", open: true, work: 12},
	{name: "held", open: true, work: 7, do: func(d *uitest.Driver) { d.Press("2", ".", "esc") }},
	{name: "broken", open: true, work: 7, do: func(d *uitest.Driver) {
		d.Do(line.MarkBroken{At: line.Place{Station: linetest.Rack, Slot: 3}, Why: "a part is broken"})
		d.Pass(time.Second)
	}},
	{name: "refused", open: true, work: 7, do: func(d *uitest.Driver) { d.Press("7", "enter", "esc") }},
	{name: "tripped", open: true, work: 7, do: trip},
	{name: "unwatched", open: true, work: 4, do: unwatched},
	{name: "finished", open: true, work: 400},
	{name: "watching", open: true, work: 7, watches: true},
}

// TestEveryKeyActsOrSaysWhyNot presses every key on every screen in every state of the
// line. Something has to come of each: another frame, which a change of the line, of the
// mark or of a form is, a question, or the reason why not.
func TestEveryKeyActsOrSaysWhyNot(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a minute")
	}
	for _, state := range keyStates {
		for _, to := range keyScreens {
			t.Run(state.name+"/"+to.name, func(t *testing.T) {
				for _, key := range everyKey {
					d := inState(t, state.open, state.work, state.do, to.keys, state.watches)
					d.Send(act.SayMsg{})
					before := d.Raw()
					d.Press(key)
					if !d.Quit() && d.Raw() == before {
						t.Errorf("%q does nothing and says nothing", key)
					}
				}
			})
		}
	}
}

func inState(t *testing.T, open bool, work int, do func(d *uitest.Driver), keys string, watches bool) *uitest.Driver {
	t.Helper()
	sheet := linetest.Sheet()
	o := uitest.Options{W: 100, H: 40, Demo: true, Theme: theme.Dark, Watches: watches}
	if open {
		o.Sheet = &sheet
	} else {
		o.Suggest = &sheet
	}
	d := uitest.New(t, o)
	d.Work(work)
	if do != nil {
		do(d)
	}
	d.Press(strings.Fields(keys)...)
	return d
}
