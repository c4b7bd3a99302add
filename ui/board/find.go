package board

import (
	"slices"
	"time"

	"shedbell/line"
	"shedbell/ui/screen"
)

// attempt is what Enter tries at a chosen station for which nothing is prompted,
// so that a person who asks hears why not.
func attempt(env *screen.Env) (line.Command, bool) {
	if !env.Focus.Set {
		return nil, false
	}
	at := env.Focus.Place
	s := env.State
	if step := s.StepAt(at); step != nil && step.Active() {
		if step.Progress != line.Running {
			return line.Resume{At: at}, true // what its sentence says; never its end
		}
		return line.Finish{At: at}, true
	}
	k := s.Site.Stations[at.Station].Kind
	switch k {
	case line.TrayWash:
		return line.StartChore{Kind: line.WashTrays, To: line.Place{Station: at.Station}}, true
	case line.Sanitize:
		return line.StartChore{Kind: line.SanitizeAll, To: line.Place{Station: at.Station}}, true
	case line.Sow:
		return line.StartChore{Kind: line.SowTrays, To: line.Place{Station: at.Station}}, true
	}
	for i := range s.Batches {
		b := &s.Batches[i]
		if next, ok := s.NextKind(b); ok && next == k {
			return line.Start{Batch: b.ID, To: line.Anywhere}, true
		}
	}
	return nil, false
}

// Clock is a countdown that runs.
type Clock struct {
	Place line.Place
	Left  time.Duration
}

// Clocks lists the countdowns, the nearest first.
func Clocks(s *line.State, now time.Time) []Clock {
	var out []Clock
	add := func(step *line.Step) {
		if step.Planned > 0 && step.Progress == line.Running {
			out = append(out, Clock{Place: step.Place, Left: step.Left(now)})
		}
	}
	for i := range s.Batches {
		if s.Batches[i].Fate == line.OnLine {
			add(&s.Batches[i].Step)
		}
	}
	for i := range s.Chores {
		add(&s.Chores[i].Step)
	}
	slices.SortStableFunc(out, func(a, b Clock) int {
		switch {
		case a.Left < b.Left:
			return -1
		case a.Left > b.Left:
			return 1
		}
		return 0
	})
	return out
}
