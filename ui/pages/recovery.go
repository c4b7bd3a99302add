package pages

import (
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// Recovery is the short list after a time in which nobody watched: what was running,
// how long it certainly ran, how long its greens have been wet since, and one key each
// to say what becomes of it.
type Recovery struct{ marked int }

// NewRecovery makes the list.
func NewRecovery() *Recovery { return &Recovery{} }

var (
	keyRecoveryResume  = screen.Bind("Enter", "recovery.goes-on", "enter", " ")
	keyRecoveryRestart = screen.Bind("+", "recovery.again", "+", "=", "a", "A")
	keyRecoveryDone    = screen.Bind("-", "recovery.is-done", "-", "d", "D")
	keyRecoveryPick    = screen.Bind("1-9", "does.choose", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keyRecoveryNext    = screen.Bind("down", "does.next", "down", "j")
	keyRecoveryPrev    = screen.Bind("up", "does.previous", "up", "k")
	keyRecoveryLater   = screen.Bind("0", "recovery.later", "0", "esc")
)

// interrupted is one step that was interrupted.
type interrupted struct {
	name  string
	place line.Place
	step  *line.Step
	wet   time.Duration // how long the greens have been wet since
	limit time.Duration // how long they may be; 0: not known
}

// AnyInterrupted says whether a step waits for word of what became of it.
func AnyInterrupted(w *words.Speaker, s *line.State) bool { return len(allInterrupted(w, s, s.At)) > 0 }

func allInterrupted(w *words.Speaker, s *line.State, now time.Time) []interrupted {
	var out []interrupted
	for i := range s.Batches {
		b := &s.Batches[i]
		if b.Fate != line.OnLine || b.Step.Progress != line.Interrupted {
			continue
		}
		it := interrupted{name: b.Shout(), place: b.Step.Place, step: &b.Step, wet: s.WetWait(b, now)}
		if r, ok := s.Book.Revision(b.Crop, b.Step.Revision); ok {
			it.limit = r.MaxWetWait
		}
		out = append(out, it)
	}
	for i := range s.Chores {
		c := &s.Chores[i]
		if c.Step.Progress == line.Interrupted {
			out = append(out, interrupted{name: w.Chore(c.Kind), place: c.Step.Place, step: &c.Step})
		}
	}
	return out
}

// Typing says that no field takes letters and digits here.
func (v *Recovery) Typing() bool { return false }

// Keys lists what can be pressed.
func (v *Recovery) Keys(env *screen.Env) []screen.Binding {
	none := ""
	if len(allInterrupted(env.Words, env.State, env.Now)) == 0 {
		none = "recovery.none-waits"
	}
	return []screen.Binding{keyRecoveryResume.Unless(none), keyRecoveryRestart.Unless(none), keyRecoveryDone.Unless(none), keyRecoveryPick.Unless(none),
		keyRecoveryLater, keyRecoveryNext.Unless(none), keyRecoveryPrev.Unless(none)}
}

// Update answers a message.
func (v *Recovery) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	all := allInterrupted(env.Words, env.State, env.Now)
	v.marked = max(0, min(v.marked, len(all)-1))
	k, ok := msg.(tea.KeyMsg)
	if !ok || len(all) == 0 {
		return nil
	}
	at := all[v.marked].place
	switch {
	case key.Matches(k, keyRecoveryResume.Binding):
		return screen.Do(line.Resume{At: at})
	case key.Matches(k, keyRecoveryRestart.Binding):
		return screen.Do(line.Restart{At: at})
	case key.Matches(k, keyRecoveryDone.Binding):
		return screen.Do(line.Finish{At: at})
	case key.Matches(k, keyRecoveryPick.Binding):
		if n := int(k.Runes[0] - '1'); n < len(all) {
			v.marked = n
		}
	case key.Matches(k, keyRecoveryNext.Binding):
		v.marked = min(v.marked+1, len(all)-1)
	case key.Matches(k, keyRecoveryPrev.Binding):
		v.marked = max(v.marked-1, 0)
	}
	return nil
}

// recoveryGap is the time in which nobody watched, as the day's records have it.
func recoveryGap(env *screen.Env) (from, to time.Time, ok bool) {
	for i := len(env.History) - 1; i >= 0; i-- {
		if e, lost := env.History[i].Event.(line.WatchLost); lost {
			return e.LastBeat, env.History[i].At, true
		}
	}
	return from, to, false
}

// ran says how long a step certainly ran, and what was left of it then.
func (it *interrupted) ran(w *words.Speaker, now time.Time) string {
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
