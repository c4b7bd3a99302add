package board

import (
	"slices"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/screen"
)

// Keys of the board. The number pad's are first.
var (
	keyDo       = act.Key("Enter", "does.do", "enter", " ")
	keyTake     = act.Key("Enter", "does.take-line", "enter", " ").Tell(screen.TakeMsg{})
	keyMore     = act.Key("+ -", "board.time", "+", "=")
	keyLess     = act.Key("-", "board.shorter", "-").Hidden()
	keyHold     = act.Key(".", "does.hold", ".", "h", "H")
	keyAgain    = act.Key("a", "board.again", "a", "A")
	keyDay      = act.Key("d", "board.day", "d", "D").Tell(screen.OpenMsg{Name: screen.Day})
	keyLog      = act.Key("l", "board.log", "l", "L").Tell(screen.OpenMsg{Name: screen.Log})
	keyRecipe   = act.Key("r", "board.recipes", "r", "R").Tell(screen.OpenMsg{Name: screen.Recipes})
	keyPractice = act.Key("p", "practice.open", "p", "P").Tell(screen.OpenMsg{Name: screen.PracticeDay})
	keyBack     = act.Key("esc", "board.no-station", "esc").Tell(screen.FocusMsg{})
	keyTrouble  = act.Key("b", "board.trouble", "b", "B")
	keyActs     = act.Key("w", "board.acts", "w", "W")
	keyTaste    = act.Key("t", "board.taste", "t", "T").Acting()
)

// Actions is what can be done on the board.
func (b *Board) Actions(env *screen.Env) act.Table {
	if b.over != nil {
		return b.over.actions(env, b)
	}
	var all act.Table
	if env.Watching.Offer {
		all = append(all, keyTake) // the same key never takes the line and acts too
	}
	all = append(all, b.doIt(env), screen.KeyHelp)
	if env.Practice.On {
		all = append(all, keyPractice)
	}
	if limit, ok := screen.LimitKey(env); ok {
		all = append(all, limit)
	}
	taste, fresh := taste(env)
	if fresh {
		all = append(all, taste)
	}
	all = append(all, act.Choose(&env.Context, "board.station", len(env.State.Site.Stations), func(i int) tea.Cmd { return b.pick(env, i) }))
	all = append(all, b.stepKeys(env)...)
	all = append(all, screen.KeyDone, screen.KeyMenu, hush(env), keyDay, keyLog, keyRecipe)
	all = append(all, again(env), back(env), trouble(env), handOn(env))
	if !fresh {
		all = append(all, taste)
	}
	return all
}

// doIt does what the sentence says, or tries what the chosen station could do.
func (b *Board) doIt(env *screen.Env) act.Action {
	p, ok := headline(env)
	if !ok {
		if env.State.Sheet == nil {
			return keyDo.Tell(screen.OpenMsg{Name: screen.Day})
		}
		if c, ok := attempt(env); ok {
			return keyDo.Send(c)
		}
		return keyDo.Unless("board.why-nothing")
	}
	do := keyDo.Next(&env.Context, p)
	ends := p.Act == line.ActFinish || p.Act == line.ActAdvance
	if ends && p.Batch != 0 && env.State.Site.Stations[p.From.Station].Kind == line.Pack {
		return do.Do(func() { b.pack(env, p) })
	}
	if ask, ok := warn(env, p); ok {
		return do.Do(func() { b.over = ask })
	}
	return do
}

// stepKeys act on the step of the chosen station, or on the nearest one.
func (b *Board) stepKeys(env *screen.Env) act.Table {
	at, ok := chosenStep(env)
	if !ok && !env.Focus.Set {
		return act.Table{keyMore.Unless("board.no-countdown"), keyLess.Unless("board.no-countdown"), keyHold.Unless("board.nothing-runs")}
	}
	adjust := func(key act.Action, sign int) act.Action {
		return key.Send(line.Adjust{At: at, By: time.Duration(sign) * screen.PressStep}).
			Run(func() tea.Cmd { return act.Do(line.Adjust{At: at, By: b.presses.Step(env, sign)}) })
	}
	return act.Table{adjust(keyMore, 1), adjust(keyLess, -1), hold(env, at)}
}

func hold(env *screen.Env, at line.Place) act.Action {
	if step := env.State.StepAt(at); step != nil && step.Active() && step.Progress != line.Running {
		return keyHold.Does("does.go-on").Send(line.Resume{At: at})
	}
	return keyHold.Send(line.Hold{At: at})
}

// hush is the frame's key for alarms, which the foot of the board has among the first.
func hush(env *screen.Env) act.Action {
	return env.Global[max(0, env.Global.Index(screen.KeyHush))]
}

// again starts a held step from its beginning.
func again(env *screen.Env) act.Action {
	at, ok := chosenStep(env)
	if !ok && !env.Focus.Set {
		return keyAgain.Unless("board.nothing-runs")
	}
	return keyAgain.Send(line.Restart{At: at})
}

func back(env *screen.Env) act.Action {
	if !env.Focus.Set {
		return keyBack.Unless("board.why-none-chosen")
	}
	return keyBack
}

// trouble writes one down at the chosen station, or in the shed as a whole.
func trouble(env *screen.Env) act.Action {
	at := line.Nowhere
	if env.Focus.Set {
		at = env.Focus.Place
	}
	return keyTrouble.Tell(screen.OpenMsg{Name: screen.Backlog, About: at})
}

// handOn has what is done from now on recorded for the next person.
func handOn(env *screen.Env) act.Action {
	name, ok := nextPerson(env)
	if !ok {
		return keyActs.Unless("board.why-alone")
	}
	return keyActs.Does(env.Words.Say("board.acts-next", name)).Send(line.HandOn{To: name})
}

// nextPerson is who is on the line after the one who acts now.
func nextPerson(env *screen.Env) (name string, ok bool) {
	crew := env.State.Crew
	now := slices.Index(crew, env.By)
	if len(crew) == 0 || len(crew) == 1 && now == 0 {
		return "", false
	}
	return crew[(now+1)%len(crew)], true
}

// taste tastes the batch packed last. It is offered early while nobody has tasted that
// one.
func taste(env *screen.Env) (a act.Action, fresh bool) {
	p, ok := env.State.LastPacked()
	if !ok {
		return keyTaste.Unless("board.why-none-packed"), false
	}
	fresh = env.State.Sheet != nil && len(env.State.TastingsOf(&p.Ran)) == 0
	name, _, _ := strings.Cut(p.Ran.Batch, " of ")
	return keyTaste.Does(env.Words.Say("board.taste-that", name)).Tell(screen.OpenMsg{Name: screen.Recipes, Batch: p.ID}), fresh
}
