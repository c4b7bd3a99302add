// Package board is the main screen: what to do next, how long is left everywhere,
// what each circuit carries, and the last refusal.
package board

import (
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
)

// Board is the main screen.
type Board struct {
	over    overlay // a question in place of the sentence, or nil
	presses screen.Presses
	packing *packing // begun and not sent
	ghost   *ghost   // a start that was refused
}

// overlay is a question that takes the place of the sentence and the keys.
type overlay interface {
	// actions are the only ones while it is open.
	actions(env *screen.Env, b *Board) act.Table
	draw(env *screen.Env, r canvas.Region)
}

// New makes the board.
func New() *Board { return &Board{} }

// Update answers a message.
func (b *Board) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	if result, ok := msg.(screen.ResultMsg); ok {
		if b.haunt(env, result); result.Refusal == nil {
			b.over, b.packing = nil, nil
		}
	}
	return nil
}

// pick chooses a station, which lights up the lane that has it; choosing it again goes
// through the other lanes there and its other slots, and then opens its details.
func (b *Board) pick(env *screen.Env, station int) tea.Cmd {
	var all []line.Place
	add := func(p line.Place) {
		if p.Station == station && !slices.Contains(all, p) {
			all = append(all, p)
		}
	}
	for _, l := range env.Lanes {
		if l.Now != nil {
			if add(l.Now.From); l.Now.From.Station < 0 {
				add(l.Now.To)
			}
		}
	}
	for _, p := range occupied(env.State, station) {
		add(p)
	}
	if len(all) == 0 {
		add(line.Place{Station: station})
	}
	if !env.Focus.Set || env.Focus.Place.Station != station {
		return setFocus(screen.Focus{Set: true, Place: all[0]})
	}
	if i := slices.Index(all, env.Focus.Place); i >= 0 && i+1 < len(all) {
		return setFocus(screen.Focus{Set: true, Place: all[i+1]})
	}
	return func() tea.Msg { return screen.OpenMsg{Name: screen.Station, About: env.Focus.Place} }
}

func setFocus(f screen.Focus) tea.Cmd { return func() tea.Msg { return screen.FocusMsg{Focus: f} } }

// occupied lists a station's slots with something in them, the soonest due first.
func occupied(s *line.State, station int) []line.Place {
	var out []line.Place
	for slot := range s.Site.Stations[station].Slots {
		p := line.Place{Station: station, Slot: slot}
		if s.StepAt(p) != nil {
			out = append(out, p)
		}
	}
	return out
}

// chosenStep is the step that the keys act on: that of the chosen station, else
// the one with the nearest countdown, else the one held last, so that the key that
// held it lets it go on.
func chosenStep(env *screen.Env) (line.Place, bool) {
	if env.Focus.Set {
		step := env.State.StepAt(env.Focus.Place)
		return env.Focus.Place, step != nil && step.Active()
	}
	clocks := Clocks(env.State, env.Now)
	if len(clocks) == 0 {
		return heldLast(env.State)
	}
	return clocks[0].Place, true
}

// heldLast is the place of the step that was held last.
func heldLast(s *line.State) (at line.Place, ok bool) {
	var last time.Time
	look := func(step *line.Step) {
		if step.Progress == line.Held && !step.Stopped.Before(last) {
			at, last, ok = step.Place, step.Stopped, true
		}
	}
	for i := range s.Batches {
		if s.Batches[i].Fate == line.OnLine {
			look(&s.Batches[i].Step)
		}
	}
	for i := range s.Chores {
		look(&s.Chores[i].Step)
	}
	return at, ok
}
