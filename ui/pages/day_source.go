package pages

import (
	"math"
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

// orderedWithin is how far ahead orders are cut for: a week from one day to the
// next (common practice, no source).
const orderedWithin = 7 * 24 * time.Hour

// orderedSheet is a sheet of the trays that the open orders need, rounded up to whole
// ones; nil where there are none.
func orderedSheet(s *line.State, now time.Time) *line.Sheet {
	last := now.Add(orderedWithin).Format(time.DateOnly)
	packages := map[string]int{}
	var crops []string
	for _, o := range s.Orders {
		if o.Due >= last {
			continue
		}
		if packages[o.Crop] == 0 {
			crops = append(crops, o.Crop)
		}
		rest, _ := o.Rest()
		packages[o.Crop] += rest
	}
	sheet := &line.Sheet{}
	for _, crop := range crops {
		r, ok := s.Recipe(crop)
		if !ok || !(r.YieldG > 0) || !(r.PackageG > 0) {
			continue
		}
		trays := int(math.Ceil(float64(packages[crop])*r.PackageG/r.YieldG - 1e-9))
		sheet.Crops = append(sheet.Crops, line.Demand{Crop: crop, Trays: trays})
	}
	if len(sheet.Crops) == 0 {
		return nil
	}
	return sheet
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
	if sheet := orderedSheet(env.State, env.Now); sheet != nil {
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
