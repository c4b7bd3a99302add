package pages

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// Recovery is the short list after a time in which nobody watched: what was running,
// how long it certainly ran, how long its greens have been wet since, and one key each
// to say what becomes of it.
type Recovery struct{ marked int }

// NewRecovery makes the list.
func NewRecovery() *Recovery { return &Recovery{} }

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
		it := interrupted{name: w.Caps(b), place: b.Step.Place, step: &b.Step, wet: s.WetWait(b, now)}
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

// Actions say what became of the marked step.
func (v *Recovery) Actions(env *screen.Env) act.Table {
	all := allInterrupted(env.Words, env.State, env.Now)
	v.marked = max(0, min(v.marked, len(all)-1))
	at := line.Nowhere
	if len(all) > 0 {
		at = all[v.marked].place
	}
	keys := append(act.Table{
		act.Key("Enter", "recovery.goes-on", "enter", " ").Send(line.Resume{At: at}),
		act.Key("+", "recovery.again", "+", "=", "a", "A").Send(line.Restart{At: at}),
		act.Key("-", "recovery.is-done", "-", "d", "D").Send(line.Finish{At: at}),
		act.Mark(&env.Context, "does.choose", &v.marked, len(all)),
	}, act.Arrows(&v.marked, len(all))...)
	if len(all) == 0 {
		keys = keys.Unless("recovery.none-waits")
	}
	return append(keys, act.Key("0", "recovery.later", "0", "esc").Tell(screen.LeaveMsg{}))
}

// Update answers a message: what waits is in the state.
func (v *Recovery) Update(*screen.Env, tea.Msg) tea.Cmd { return nil }

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
