package board

import (
	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// drawFoot draws the quiet line, the last thing that happened or the last refusal,
// and under it the keys.
func (b *Board) drawFoot(env *screen.Env, r canvas.Region) {
	if r.H == 0 {
		return
	}
	notice := r
	if r.H > 1 {
		notice = r.Rows(0, r.H-1)
		r.Put(1, r.H-1, theme.Faint, screen.KeyLine(b.Keys(env), r.W-2))
	}
	screen.DrawNotice(env, notice.Inset(1, 0))
}

// Keys lists what can be pressed on the board.
func (b *Board) Keys(env *screen.Env) []screen.Binding {
	s := env.State
	noStep, noDo, noUndo, noAlarm := "", "", "", ""
	if len(env.Alarms) == 0 {
		noAlarm = "there is no alarm"
	}
	at, ok := chosenStep(env)
	if !ok {
		noStep = "nothing runs there"
	}
	if _, ok := headline(env); !ok && s.Sheet != nil {
		noDo = "nothing is ready or coming"
	}
	undo := screen.Bind("0", "undo", "0", "u")
	if text, ok := s.CanUndo(); ok {
		undo = screen.Bind("0", "undo the "+text, "0", "u")
	} else {
		noUndo = "nothing has been done yet"
	}
	hold := keyHold
	if ok {
		if step := s.StepAt(at); step != nil && step.Progress != line.Running {
			hold = screen.Bind(".", "go on", ".", "h")
		} else {
			hold = screen.Bind(".", "hold", ".", "h")
		}
	}
	noClock := noStep
	if step := s.StepAt(at); ok && step != nil && step.Planned == 0 {
		noClock = "done by hand, without a countdown"
	}
	taste, offer := tasteKey(env)
	keys := []screen.Binding{keyDo.Unless(noDo), screen.Bind("?", "help", "?")}
	if offer {
		keys = append(keys, taste)
	}
	keys = append(keys, keyPick,
		screen.Bind("+ -", "time", "+", "-").Unless(noClock), hold.Unless(noStep), undo.Unless(noUndo),
		screen.Bind("/", "screens", "/"), keyHush.Unless(noAlarm), keyFar, keyDay, keyLog, keyRecipe, keyAgain.Unless(noStep), keyBack, keyTrouble)
	if !offer {
		keys = append(keys, taste)
	}
	return env.Watching.Bindings(keys, "Enter", "+ -", ".", "0", "*", "a", "t")
}
