package cleanup

import (
	"shedbell/line"
	"shedbell/ui/screen"
)

// Keys lists what can be pressed, with why not where it does nothing.
func (s *Screen) Keys(env *screen.Env) []screen.Binding {
	switch {
	case s.typing != nil:
		return s.typing.Keys()
	case env.State.Sheet == nil:
		no := "cleanup-why.no-day"
		return []screen.Binding{keyDo.Unless(no), keyStep.Unless(no), keySigner.Unless(no)}
	}
	d := read(env)
	at := s.current(d)
	does, plus := s.does(d, at)
	noPlus := "cleanup-why.no-count"
	if plus != "" {
		noPlus = ""
	}
	noCaution, noSigner := "", ""
	if len(s.cautions(at, d)) == 0 {
		noCaution = "cleanup-why.no-caution"
	}
	if len(env.State.Crew) < 2 {
		noSigner = "cleanup-why.one-person"
	}
	caution := keyCaution
	switch n := len(s.cautions(at, d)); {
	case s.full > 0 && s.full < n:
		caution = screen.Bind(".", "cleanup-does.next-caution", ".")
	case s.full > 0:
		caution = screen.Bind(".", "cleanup-does.cautions-short", ".")
	}
	return []screen.Binding{screen.Bind("Enter", does, keyDo.Keys()...), keyStep,
		screen.Bind("+ -", plus, "+", "=", "-", "up", "down").Unless(noPlus), caution.Unless(noCaution), keySigner.Unless(noSigner)}
}

// does says what Enter does at a step, and what + and - do.
func (s *Screen) does(d *day, at Step) (enter, plus string) {
	switch at {
	case DrainScreens:
		return "cleanup-does.enter-clean", ""
	case TraysOut:
		return d.t.Say("cleanup-does.enter", s.counted(d, line.EntryTraysOut)), "cleanup-does.trays"
	case TraysIn:
		return d.t.Say("cleanup-does.enter", s.counted(d, line.EntryTraysIn)), "cleanup-does.trays"
	case PressureWash:
		return startOrFinish(d, line.WashTrays), ""
	case Mix:
		return "cleanup-does.mixing-table", ""
	case ContactTime:
		if d.chore(line.SanitizeAll) != nil {
			plus = "cleanup-does.minute-longer"
		}
		return startOrFinish(d, line.SanitizeAll), plus
	case Surfaces:
		return "cleanup-does.tick-off", "does.mark"
	case Sow:
		return startOrFinish(d, line.SowTrays), ""
	}
	return "cleanup-does.write-note", ""
}

func startOrFinish(d *day, k line.ChoreKind) string {
	c := d.chore(k)
	switch {
	case c == nil:
		return "cleanup-does.start"
	case c.Step.Progress != line.Running:
		return "does.go-on"
	}
	return "cleanup-does.finish"
}
