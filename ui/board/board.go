// Package board is the main screen: what to do next, how long is left everywhere,
// what each circuit carries, and the last refusal.
package board

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/ui/act"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
)

// Board is the main screen.
type Board struct {
	over    overlay // a question in place of the sentence, or nil
	presses screen.Presses
	packing *packing // begun and not sent
	far     bool     // drawn for who stands far away
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
func (b *Board) Update(_ *screen.Env, msg tea.Msg) tea.Cmd {
	if result, ok := msg.(screen.ResultMsg); ok && result.Refusal == nil {
		b.over, b.packing = nil, nil
	}
	return nil
}

// timed says whether a prompt waits for a countdown rather than for a person.
func timed(env *screen.Env, p *line.Prompt) bool {
	if p.From.Station < 0 {
		return false
	}
	step := env.State.StepAt(p.From)
	return step != nil && step.Planned > 0
}

// pick chooses a station; choosing it again goes through its occupied slots, and
// then opens its details.
func (b *Board) pick(env *screen.Env, station int) tea.Cmd {
	slots := occupied(env.State, station)
	if !env.Focus.Set || env.Focus.Place.Station != station {
		first := line.Place{Station: station}
		if len(slots) > 0 {
			first = slots[0]
		}
		if b.far { // which has no room for the stations
			return tea.Batch(setFocus(screen.Focus{Set: true, Place: first}), act.Say(env.Words.Say("board.chosen", say.Station(env.State.Site.Stations[station].Name))))
		}
		return setFocus(screen.Focus{Set: true, Place: first})
	}
	for i, p := range slots {
		if p == env.Focus.Place && i+1 < len(slots) {
			return setFocus(screen.Focus{Set: true, Place: slots[i+1]})
		}
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
