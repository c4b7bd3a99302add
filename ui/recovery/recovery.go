// Package recovery is the short list after a time in which nobody watched: what was
// running, how long it certainly ran, how long its greens have been wet since, and
// one key each to say what becomes of it.
package recovery

import (
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// Recovery is the list.
type Recovery struct{ marked int }

// New makes the list.
func New() *Recovery { return &Recovery{} }

var (
	keyResume  = screen.Bind("Enter", "recovery.goes-on", "enter", " ")
	keyRestart = screen.Bind("+", "recovery.again", "+", "=", "a", "A")
	keyDone    = screen.Bind("-", "recovery.is-done", "-", "d", "D")
	keyPick    = screen.Bind("1-9", "does.choose", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keyNext    = screen.Bind("down", "does.next", "down", "j")
	keyPrev    = screen.Bind("up", "does.previous", "up", "k")
	keyLater   = screen.Bind("0", "recovery.later", "0", "esc")
)

// item is one step that was interrupted.
type item struct {
	name  string
	place line.Place
	step  *line.Step
	wet   time.Duration // how long the greens have been wet since
	limit time.Duration // how long they may be; 0: not known
}

// Any says whether a step waits for word of what became of it.
func Any(w *words.Tongue, s *line.State) bool { return len(items(w, s, s.At)) > 0 }

func items(w *words.Tongue, s *line.State, now time.Time) []item {
	var out []item
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Fate != line.OnLine || b.Step.Progress != line.Interrupted {
			continue
		}
		it := item{name: b.Shout(), place: b.Step.Place, step: &b.Step, wet: s.WetWait(b, now)}
		if r, ok := s.Book.Revision(b.Crop, b.Step.Revision); ok {
			it.limit = r.MaxWetWait
		}
		out = append(out, it)
	}
	for i := range s.Chores {
		c := &s.Chores[i]
		if c.Step.Progress == line.Interrupted {
			out = append(out, item{name: w.Chore(c.Kind), place: c.Step.Place, step: &c.Step})
		}
	}
	return out
}

// Typing says that no field takes letters and digits here.
func (v *Recovery) Typing() bool { return false }

// Keys lists what can be pressed.
func (v *Recovery) Keys(env *screen.Env) []screen.Binding {
	none := ""
	if len(items(env.Words, env.State, env.Now)) == 0 {
		none = "recovery.none-waits"
	}
	return []screen.Binding{keyResume.Unless(none), keyRestart.Unless(none), keyDone.Unless(none), keyPick.Unless(none),
		keyLater, keyNext.Unless(none), keyPrev.Unless(none)}
}

// Update answers a message.
func (v *Recovery) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	all := items(env.Words, env.State, env.Now)
	v.marked = max(0, min(v.marked, len(all)-1))
	k, ok := msg.(tea.KeyMsg)
	if !ok || len(all) == 0 {
		return nil
	}
	at := all[v.marked].place
	switch {
	case key.Matches(k, keyResume.Binding):
		return screen.Do(line.Resume{At: at})
	case key.Matches(k, keyRestart.Binding):
		return screen.Do(line.Restart{At: at})
	case key.Matches(k, keyDone.Binding):
		return screen.Do(line.Finish{At: at})
	case key.Matches(k, keyPick.Binding):
		if n := int(k.Runes[0] - '1'); n < len(all) {
			v.marked = n
		}
	case key.Matches(k, keyNext.Binding):
		v.marked = min(v.marked+1, len(all)-1)
	case key.Matches(k, keyPrev.Binding):
		v.marked = max(v.marked-1, 0)
	}
	return nil
}

// gap is the time in which nobody watched, as the day's records have it.
func gap(env *screen.Env) (from, to time.Time, ok bool) {
	for i := len(env.History) - 1; i >= 0; i-- {
		if e, lost := env.History[i].Event.(line.WatchLost); lost {
			return e.LastBeat, env.History[i].At, true
		}
	}
	return from, to, false
}

// ran says how long a step certainly ran, and what was left of it then.
func (it *item) ran(w *words.Tongue, now time.Time) string {
	ran, planned := words.Clock(it.step.Ran(now)), words.Clock(it.step.Planned)
	left := it.step.Left(now)
	switch {
	case it.step.Planned == 0:
		return w.Say("recovery.ran", ran)
	case left > 0:
		return w.Say("recovery.ran-left", ran, planned, words.Left(left))
	}
	return w.Say("recovery.ran-over", ran, planned)
}
