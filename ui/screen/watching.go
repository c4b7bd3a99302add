package screen

import (
	"slices"
	"time"

	"shedbell/line/say"
	"shedbell/ui/words"
)

// Watching is what a screen shows that does not have the line. The zero value: it
// has it.
type Watching struct {
	Says   say.Speech // who has the line; empty: this screen
	Urgent bool       // nobody may be watching the line
	Offer  bool       // Enter on the board takes the line
}

// On says that the screen only watches.
func (w Watching) On() bool { return len(w.Says) > 0 }

// Line is the whole line for the foot of the screen.
func (w Watching) Line(t *words.Speaker) string {
	if w.Offer {
		return t.Speech(w.Says) + " " + t.Say("foot.take-line")
	}
	return t.Speech(w.Says)
}

// noticeFor is how long an answer to a key hides who has the line.
const noticeFor = 8 * time.Second

// Bindings are a screen's keys as they are while it only watches: Enter takes the
// line, if anything does, and the keys with the labels in acting say why they do
// nothing.
func (w Watching) Bindings(keys []Binding, acting ...string) []Binding {
	if !w.On() {
		return keys
	}
	out := make([]Binding, 0, len(keys)+1)
	if w.Offer {
		out = append(out, Bind("Enter", "does.take-line", "enter", " "))
	}
	for _, k := range keys {
		switch {
		case w.Offer && k.Help().Key == "Enter":
			continue
		case slices.Contains(acting, k.Help().Key):
			k = k.Unless("why.watching")
		}
		out = append(out, k)
	}
	return out
}
