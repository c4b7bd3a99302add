package screen

import (
	"shedbell/line"
	"shedbell/line/say"
	"shedbell/ui/act"
)

// The actions that every screen has. The frame puts them after a screen's own.
var (
	KeyLeave = act.Key("0", "does.back", "0", "esc").Tell(LeaveMsg{})
	KeyHelp  = act.Key("?", "does.help", "?").Tell(OpenMsg{Name: Help})
	KeyHush  = act.Key("*", "does.silence", "*", "m", "M") // the frame says what it does
	KeyDone  = act.Key("0", "does.done", "0", "u", "U").Tell(OpenMsg{Name: Done})
	KeyUndo  = act.Key("u", "does.done", "u", "U").Tell(OpenMsg{Name: Done})
	KeyMenu  = act.Key("/", "does.other-screens", "/").Tell(OpenMsg{Name: Menu})
)

// Actions is everything that a key does on a screen, with the frame's own actions.
func Actions(env *Env, s Screen) act.Table {
	own := s.Actions(env)
	if own.Closed() {
		return own
	}
	return append(own, env.Global...)
}

// footGlobals is how many of the frame's own actions, in their order, stand at the end
// of every foot.
const footGlobals = 2

// LimitKey counts a circuit at what its trips have taught; false while none has taught
// anything.
func LimitKey(env *Env) (act.Action, bool) {
	for c := range env.State.Site.Panel.Circuits {
		if l, ok := env.State.Lesson(c); ok {
			name := say.Circuit(env.State.Site.Panel.Circuits[c].Name)
			return act.Key("x", env.Words.Say("does.limit", name, l.EffectiveA), "x", "X").Send(line.LimitCircuit{Circuit: c}).
				Asks(env.Words.Say("does.limit-ask", l.Weak, name, l.EffectiveA)), true
		}
	}
	return act.Action{}, false
}
