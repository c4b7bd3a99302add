package cleanup

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"shedbell/line"
	"shedbell/ui/act"
	"shedbell/ui/screen"
)

// Actions is what can be done at the step at hand.
func (s *Screen) Actions(env *screen.Env) act.Table {
	if s.typing != nil {
		leave := func() tea.Cmd { s.typing = nil; return nil }
		return s.typing.Fill(env, leave, func() tea.Cmd { return s.sent(env) })
	}
	do, signer := act.Key("Enter", "does.do", "enter", " "), act.Key("w", "cleanup-does.signer", "w", "W")
	if env.State.Sheet == nil {
		return act.Table{do, act.Choose(&env.Context, "cleanup-does.step", int(stepCount), nil), signer}.Unless("cleanup-why.no-day")
	}
	d := read(env)
	at := s.current(d)
	does, plus := s.does(d, at)
	step := act.Choose(&env.Context, "cleanup-does.step", int(stepCount), func(i int) tea.Cmd {
		return act.Change(&env.Context, &at, "why.chosen", func() {
			s.step, s.picked, s.off, s.full, at = Step(i), true, 0, 0, Step(i)
		})
	})
	if len(env.State.Crew) < 2 {
		signer = signer.Unless("cleanup-why.one-person")
	}
	all := append(act.Table{s.doIt(env, d, at, do.Does(does)), step}, s.shifts(env, d, at, plus)...)
	return append(all, s.caution(at, d), signer.Do(func() { s.nextSigner(env) }))
}

// caution shows the next of the step's cautions in full, and after the last one all of
// them in short.
func (s *Screen) caution(at Step, d *day) act.Action {
	n := len(s.cautions(at, d))
	key := act.Key(".", "cleanup-does.caution", ".").Do(func() { s.full = (s.full + 1) % (n + 1) })
	switch {
	case n == 0:
		return key.Unless("cleanup-why.no-caution")
	case s.full > 0 && s.full < n:
		return key.Does("cleanup-does.next-caution")
	case s.full > 0:
		return key.Does("cleanup-does.cautions-short")
	}
	return key
}

// shifts change a count, the marked surface, or the contact time that runs.
func (s *Screen) shifts(env *screen.Env, d *day, at Step, does string) act.Table {
	all := act.Steps(does, func(by int) tea.Cmd {
		switch at {
		case Surfaces:
			s.marked = (s.marked + by + len(surfaces)) % len(surfaces)
		case TraysIn:
			return s.recount(env, d, line.EntryTraysIn, by)
		case TraysOut:
			return s.recount(env, d, line.EntryTraysOut, by)
		}
		return nil
	})
	if does == "" {
		return all.Unless("cleanup-why.no-count")
	}
	if c := d.chore(line.SanitizeAll); at == ContactTime && c != nil {
		for i, sign := range []time.Duration{1, -1} {
			adjust := line.Adjust{At: c.Step.Place, By: sign * time.Minute}
			all[i] = all[i].Send(adjust).Run(func() tea.Cmd { return act.Do(adjust) })
		}
	}
	return all
}

func (s *Screen) recount(env *screen.Env, d *day, k line.EntryKind, by int) tea.Cmd {
	if s.counted(d, k)+by < 0 {
		return act.NotHere(&env.Context, "cleanup-why.no-fewer")
	}
	s.off += by
	return nil
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
