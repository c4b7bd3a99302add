package pages

import (
	"time"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/ui/screen"
)

// daySource is what the form can be filled in with.
type daySource struct {
	label string
	sheet *line.Sheet // nil: empty
}

// daySources lists what there is to fill the form in with, the likeliest first. The
// last one is empty, for who types it all.
func daySources(env *screen.Env) []daySource {
	var out []daySource
	if last, ok := env.State.LastOn(env.Now); ok {
		when := last.Date
		if date, err := time.Parse(time.DateOnly, last.Date); err == nil {
			when = env.Words.Date(date, "Mon 2 Jan")
		}
		out = append(out, daySource{env.Words.Say("day.as-on", when), &last})
	}
	if sheet := env.State.OrderedSheet(env.Now); sheet != nil {
		out = append(out, daySource{env.Words.Say("day.from-orders"), sheet})
	}
	if env.Suggest != nil {
		out = append(out, daySource{env.Words.Say("day.from-sheet"), env.Suggest})
	} else if files.IsStarter(env.State.Site) { // the invented shed has an invented day, and no other shed has
		y, m, d := env.Now.Date()
		out = append(out, daySource{env.Words.Say("day.example"), files.StarterDay(time.Date(y, m, d, 7, 30, 0, 0, env.Now.Location()))})
	}
	return append(out, daySource{env.Words.Say("day.empty"), nil})
}
