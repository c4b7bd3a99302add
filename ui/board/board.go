// Package board is the main screen: what to do next, how long is left everywhere,
// what each circuit carries, and the last refusal.
package board

import (
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/words"
)

// Board is the main screen.
type Board struct {
	over    overlay   // a question in place of the sentence, or nil
	early   time.Time // Enter was pressed before its time; again confirms
	presses screen.Presses
	packing *packing // begun and not sent
	far     bool     // drawn for who stands far away
}

// overlay is a question that takes the place of the sentence and the keys.
type overlay interface {
	// key answers a key; done says that the question is over.
	key(env *screen.Env, k tea.KeyMsg) (cmd tea.Cmd, done bool)
	draw(env *screen.Env, r canvas.Region)
	// keys are the only ones that it answers.
	keys() []screen.Binding
}

var keyOther = screen.Bind("any other key", "does.back")

// New makes the board.
func New() *Board { return &Board{} }

// Keys of the board. The number pad's are first.
var (
	keyDo       = screen.Bind("Enter", "does.do", "enter", " ")
	keyMore     = screen.Bind("+", "board.longer", "+", "=")
	keyLess     = screen.Bind("-", "board.shorter", "-")
	keyHold     = screen.Bind(".", "board.hold", ".", "h", "H")
	keyPick     = screen.Bind("1-9", "board.station", "1", "2", "3", "4", "5", "6", "7", "8", "9")
	keyBack     = screen.Bind("esc", "board.no-station", "esc")
	keyAgain    = screen.Bind("a", "board.again", "a", "A")
	keyDay      = screen.Bind("d", "board.day", "d", "D")
	keyLog      = screen.Bind("l", "board.log", "l", "L")
	keyRecipe   = screen.Bind("r", "board.recipes", "r", "R")
	keyFar      = screen.Bind("f", "board.large", "f", "F")
	keyHush     = screen.Bind("*", "board.silence", "*", "m", "M")
	keyPractice = screen.Bind("p", "practice.open", "p", "P")
	keyUndo     = screen.Bind("0", "does.undo", "0", "u")
	keyTaste    = screen.Bind("t", "board.taste", "t", "T")
)

// Typing says that digits go into a field.
func (b *Board) Typing() bool { return b.over != nil }

// Update answers a message.
func (b *Board) Update(env *screen.Env, msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case screen.ResultMsg:
		if msg.Refusal == nil {
			b.over, b.packing = nil, nil
		}
		return nil
	case tea.KeyMsg:
		if b.over != nil {
			cmd, done := b.over.key(env, msg)
			if done {
				b.over = nil
			}
			return cmd
		}
		return b.pressed(env, msg)
	}
	return nil
}

func (b *Board) pressed(env *screen.Env, k tea.KeyMsg) tea.Cmd {
	early := b.early
	b.early = time.Time{}
	switch {
	case key.Matches(k, keyDo.Binding):
		return b.doIt(env, early)
	case key.Matches(k, keyPick.Binding):
		return b.pick(env, int(k.Runes[0]-'1'))
	case key.Matches(k, keyBack.Binding):
		return setFocus(screen.Focus{})
	case key.Matches(k, keyMore.Binding):
		return b.adjust(env, 1)
	case key.Matches(k, keyLess.Binding):
		return b.adjust(env, -1)
	case key.Matches(k, keyHold.Binding):
		return b.hold(env)
	case key.Matches(k, keyAgain.Binding):
		if at, ok := chosenStep(env); ok {
			return screen.Do(line.Restart{At: at})
		}
		return nil
	case key.Matches(k, keyFar.Binding):
		b.far = !b.far
		return nil
	case key.Matches(k, keyHush.Binding):
		return b.silence(env)
	case key.Matches(k, keyDay.Binding):
		return screen.Open(screen.Day)
	case key.Matches(k, keyLog.Binding):
		return screen.Open(screen.Log)
	case key.Matches(k, keyRecipe.Binding):
		return screen.Open(screen.Recipes)
	case key.Matches(k, keyTaste.Binding):
		return taste(env)
	case key.Matches(k, keyTrouble.Binding):
		return trouble(env)
	case key.Matches(k, keyActs.Binding):
		return handOn(env)
	case key.Matches(k, keyPractice.Binding) && env.Practice.On:
		return screen.Open(screen.PracticeDay)
	}
	return nil
}

// doIt does what the sentence says. Before its time it asks once, since a machine
// that is stopped early cannot be un-stopped.
func (b *Board) doIt(env *screen.Env, early time.Time) tea.Cmd {
	p, ok := headline(env)
	if !ok {
		if env.State.Sheet == nil {
			return screen.Open(screen.Day)
		}
		if c, ok := attempt(env); ok {
			return screen.Do(c)
		}
		return screen.Say(env.Words.Say("do.idle"))
	}
	if left := p.At.Sub(env.Now); left > time.Second && timed(env, p) && env.Now.Sub(early) > env.OnWall(screen.MeantFor) {
		b.early = env.Now
		return screen.Ask(env.Words.Say("board.too-early", words.Left(left)))
	}
	ends := p.Act == line.ActFinish || p.Act == line.ActAdvance
	if ends && p.Batch != 0 && env.State.Site.Stations[p.From.Station].Kind == line.Pack {
		b.pack(env, p)
		return nil
	}
	if ask, ok := warn(env, p); ok {
		b.over = ask
		return nil
	}
	return screen.Do(p.Command)
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
	if station >= len(env.State.Site.Stations) {
		return screen.Say(env.Words.Say("board.no-such-station"))
	}
	slots := occupied(env.State, station)
	if !env.Focus.Set || env.Focus.Place.Station != station {
		first := line.Place{Station: station}
		if len(slots) > 0 {
			first = slots[0]
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

func (b *Board) adjust(env *screen.Env, sign int) tea.Cmd {
	at, ok := chosenStep(env)
	if !ok {
		return screen.Say(env.Words.Say("board.no-countdown"))
	}
	return screen.Do(line.Adjust{At: at, By: b.presses.Step(env, sign)})
}

func (b *Board) hold(env *screen.Env) tea.Cmd {
	at, ok := chosenStep(env)
	if !ok {
		return screen.Say(env.Words.Say("board.nothing-runs"))
	}
	if step := env.State.StepAt(at); step.Progress == line.Running {
		return screen.Do(line.Hold{At: at})
	}
	return screen.Do(line.Resume{At: at})
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
