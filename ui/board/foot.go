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
		r.Put(1, r.H-1, theme.Faint, screen.KeyLine(env.Words, b.Keys(env), r.W-2))
	}
	screen.DrawNotice(env, notice.Inset(1, 0))
}

// Keys lists what can be pressed on the board.
func (b *Board) Keys(env *screen.Env) []screen.Binding {
	if b.over != nil {
		return b.over.keys()
	}
	s := env.State
	noStep, noDo, noAlarm := "", "", ""
	if len(env.Alarms) == 0 {
		noAlarm = "board.why-no-alarm"
	}
	at, ok := chosenStep(env)
	if !ok {
		noStep = "why.nothing-runs"
	}
	if _, ok := headline(env); !ok && s.Sheet != nil {
		noDo = "board.why-nothing"
	}
	hold := keyHold
	if ok {
		if step := s.StepAt(at); step != nil && step.Progress != line.Running {
			hold = screen.Bind(".", "does.go-on", ".", "h")
		} else {
			hold = screen.Bind(".", "does.hold", ".", "h")
		}
	}
	noClock, notHeld, noFocus := noStep, noStep, ""
	if step := s.StepAt(at); ok && step != nil {
		if step.Planned == 0 {
			noClock = "why.by-hand"
		}
		if step.Progress == line.Running {
			notHeld = "station.runs-it"
		}
	}
	if !env.Focus.Set {
		noFocus = "board.why-none-chosen"
	}
	taste, offer := tasteKey(env)
	keys := []screen.Binding{keyDo.Unless(noDo), screen.Bind("?", "does.help", "?")}
	if env.Practice.On {
		keys = append(keys, keyPractice)
	}
	if offer {
		keys = append(keys, taste)
	}
	keys = append(keys, keyPick,
		screen.Bind("+ -", "board.time", "+", "-").Unless(noClock), hold.Unless(noStep), keyUndo.Undo(env),
		screen.Bind("/", "board.screens", "/"), keyHush.Unless(noAlarm), keyFar, keyDay, keyLog, keyRecipe, keyAgain.Unless(notHeld), keyBack.Unless(noFocus), keyTrouble, actsKey(env))
	if !offer {
		keys = append(keys, taste)
	}
	return env.Watching.Bindings(keys, "Enter", "+ -", ".", "0", "*", "a", "t", "w")
}
