package cleanup

import (
	"fmt"

	"shedbell/line"
	"shedbell/ui/screen"
)

// Keys lists what can be pressed, with why not where it does nothing.
func (s *Screen) Keys(env *screen.Env) []screen.Binding {
	switch {
	case s.mix != nil:
		return s.mix.keys()
	case s.note != nil:
		return []screen.Binding{screen.Bind("Enter", "close the day", "enter"), screen.Bind("a-z", "type it"), keyLeave}
	case env.State.Sheet == nil:
		no := "no day is open"
		return []screen.Binding{keyDo.Unless(no), keyStep.Unless(no), keySigner.Unless(no)}
	}
	d := read(env)
	at := s.current(d)
	does, plus := s.does(d, at)
	noPlus := "there is nothing to count or to choose at this step"
	if plus != "" {
		noPlus = ""
	}
	noCaution, noSigner := "", ""
	if len(s.cautions(at, d)) == 0 {
		noCaution = "this step has none"
	}
	if len(env.State.Crew) < 2 {
		noSigner = "only one person is on the line"
	}
	caution := keyCaution
	switch n := len(s.cautions(at, d)); {
	case s.full > 0 && s.full < n:
		caution = screen.Bind(".", "next caution", ".")
	case s.full > 0:
		caution = screen.Bind(".", "cautions in short", ".")
	}
	return []screen.Binding{screen.Bind("Enter", does, keyDo.Keys()...), keyStep,
		screen.Bind("+ -", plus, "+", "=", "-", "up", "down").Unless(noPlus), caution.Unless(noCaution), keySigner.Unless(noSigner)}
}

// does says what Enter does at a step, and what + and - do.
func (s *Screen) does(d *day, at Step) (enter, plus string) {
	switch at {
	case DrainScreens:
		return "enter as clean", ""
	case TraysOut:
		return fmt.Sprintf("enter %d", s.counted(d, line.EntryTraysOut)), "trays"
	case TraysIn:
		return fmt.Sprintf("enter %d", s.counted(d, line.EntryTraysIn)), "trays"
	case PressureWash:
		return startOrFinish(d, line.WashTrays), ""
	case Mix:
		return "mixing table", ""
	case ContactTime:
		if d.chore(line.SanitizeAll) != nil {
			plus = "a minute longer"
		}
		return startOrFinish(d, line.SanitizeAll), plus
	case Surfaces:
		return "tick off", "move the mark"
	case Sow:
		return startOrFinish(d, line.SowTrays), ""
	}
	return "write the note", ""
}

func startOrFinish(d *day, k line.ChoreKind) string {
	c := d.chore(k)
	switch {
	case c == nil:
		return "start"
	case c.Step.Progress != line.Running:
		return "go on"
	}
	return "finish"
}
