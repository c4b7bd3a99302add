package uitest

import (
	"time"

	"shedbell/line"
	"shedbell/line/plan"
	"shedbell/ui/screen"
)

// Planned is a forecast with a plan that is the same on every machine, or with why
// there is none.
func Planned(s *line.State, now time.Time) screen.Forecast {
	if s.Sheet == nil {
		return screen.Forecast{}
	}
	p, err := plan.Repair(s, now, nil, plan.Options{Seed: 1, Workers: 1})
	if err != nil {
		return screen.Forecast{Stuck: err}
	}
	return screen.Forecast{Known: true, Done: p.Finish, Plan: p}
}
