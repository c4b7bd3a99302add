package pages

import (
	"slices"
	"strings"
	"time"

	"shedbell/line"
	"shedbell/ui/canvas"
	"shedbell/ui/form"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
)

// Names of the form's rows; those of crops and people have theirs behind.
const (
	traysRow = "trays of "
	dueRow   = "due of "
	crewRow  = "crew "
	sendRow  = "send"
)

// rows are a line for each crop and each person, and the one that sends.
func (f *dayDraft) rows(env *screen.Env, sources []string, at int) []form.Row {
	var rows []form.Row
	for _, crop := range f.crops {
		trays := form.Row{Name: traysRow + crop, Label: f.cropLabel(env, crop), Kind: form.Whole, Unit: "day.trays", Max: line.MaxDayTrays, Optional: true}
		due := form.Row{Name: dueRow + crop, Label: "day.due", Kind: form.TimeOfDay, Optional: true, Beside: true,
			Check: func(*form.Form) string { return f.dueFault(env, crop) }}
		if i := slices.IndexFunc(f.demands, func(d line.Demand) bool { return d.Crop == crop }); i >= 0 {
			trays.Filled = form.Num(float64(f.demands[i].Trays))
			if at := f.demands[i].Due; !at.IsZero() {
				due.Filled = form.Span(sinceMidnight(at))
			}
		}
		rows = append(rows, trays, due)
	}
	for _, name := range f.crew {
		rows = append(rows, form.Row{Name: crewRow + name, Label: env.Words.Say("day.works", name), Kind: form.YesNo,
			Filled: form.Flag(slices.Contains(f.on, name))})
	}
	send := form.Row{Name: sendRow, Kind: form.Send, Label: "day.open", Check: func(*form.Form) string { return f.faultText(env) }}
	switch {
	case f.adding:
		send.Label = "day.add"
	case len(sources) > 1:
		send.Kind, send.Choices, send.Default = form.Choice, sources, form.Num(float64(at))
		send.Check = nil // it may lead to another source, which is in order
	}
	return append(rows, send)
}

// cropLabel also says what the open day has of a crop.
func (f *dayDraft) cropLabel(env *screen.Env, crop string) string {
	trays, batches := 0, 0
	for i := range env.State.Batches {
		if b := &env.State.Batches[i]; b.Crop == crop && b.Trays > 0 {
			trays += b.Trays
			batches++
		}
	}
	if trays == 0 {
		return env.Words.Crop(crop)
	}
	return env.Words.Say("day.already", env.Words.Crop(crop), env.Words.Say("day.sum", env.Words.Trays(trays), env.Words.Batches(batches)))
}

func (f *dayDraft) dueFault(env *screen.Env, crop string) string {
	clock, ok := f.form.TimeOfDay(dueRow + crop)
	if !ok {
		return ""
	}
	if f.form.Int(traysRow+crop) == 0 {
		return env.Words.Say("day.no-trays", env.Words.Crop(crop))
	}
	if _, ok := dueToday(clock, env.Now); !ok {
		return env.Words.Say("day.past-due", env.Words.Crop(crop))
	}
	return ""
}

// dayFault is what is wrong with the form, and where.
type dayFault struct{ row, text string }

func (f *dayDraft) faultText(env *screen.Env) string {
	if _, _, fault := f.commands(env); fault != nil {
		return fault.text
	}
	return ""
}

// commands is what the form asks of the line and what comes of it, or why the line
// would not take it.
func (f *dayDraft) commands(env *screen.Env) ([]line.Command, *line.State, *dayFault) {
	var demands []line.Demand
	for _, crop := range f.crops {
		n := f.form.Int(traysRow + crop)
		if fault := f.dueFault(env, crop); fault != "" {
			return nil, nil, &dayFault{dueRow + crop, fault}
		}
		if n == 0 {
			continue
		}
		demand := line.Demand{Crop: crop, Trays: n}
		if clock, ok := f.form.TimeOfDay(dueRow + crop); ok {
			demand.Due, _ = dueToday(clock, env.Now)
		}
		demands = append(demands, demand)
	}
	var crew []string
	for _, name := range f.crew {
		if f.form.Bool(crewRow + name) {
			crew = append(crew, name)
		}
	}
	switch {
	case len(crew) == 0 && len(f.crew) > 0:
		return nil, nil, &dayFault{crewRow + f.crew[0], env.Words.Say("day.nobody")}
	case !f.adding && len(demands) == 0:
		return nil, nil, &dayFault{f.firstRow(), env.Words.Say("day.no-day")}
	}
	commands := f.asks(env, demands, crew)
	if len(commands) == 0 {
		return nil, nil, &dayFault{f.firstRow(), env.Words.Say("day.nothing")}
	}
	s := env.State
	for _, c := range commands {
		next, _, no := line.Do(s, c, env.Now, env.By)
		if no != nil {
			return nil, nil, &dayFault{sendRow, env.Words.Refusal(no)}
		}
		s = next
	}
	return commands, s, nil
}

func (f *dayDraft) firstRow() string {
	if len(f.crops) == 0 {
		return sendRow
	}
	return traysRow + f.crops[0]
}

// asks puts demands and people into commands. What the form does not ask for, the
// crops to keep apart and an own sow list, is taken from the source.
func (f *dayDraft) asks(env *screen.Env, demands []line.Demand, crew []string) []line.Command {
	if !f.adding {
		hours := slices.DeleteFunc(slices.Clone(f.hours), func(h line.Hours) bool { return !slices.Contains(crew, h.Name) })
		return []line.Command{line.OpenDay{Sheet: line.Sheet{Date: env.Now.Format(time.DateOnly), Start: env.Now, Crew: crew, Hours: hours,
			Crops: demands, Apart: f.apart, Sow: f.sow}}}
	}
	var out []line.Command
	if len(crew) > 0 && !sameNames(crew, env.State.Crew) {
		out = append(out, line.SetCrew{Names: crew})
	}
	for _, demand := range demands {
		out = append(out, line.AddTrays{Demand: demand})
	}
	return out
}

func sameNames(a, b []string) bool {
	return slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b)))
}

// sum says what the form comes to, or what keeps it from being sent.
func (f *dayDraft) sum(env *screen.Env) string {
	_, s, fault := f.commands(env)
	if fault != nil {
		return fault.text
	}
	before := 0
	if f.adding {
		before = len(env.State.Batches)
	}
	trays := 0
	for _, b := range s.Batches[before:] {
		trays += b.Trays
	}
	text := env.Words.Say("day.sum", env.Words.Trays(trays), env.Words.Batches(len(s.Batches)-before))
	switch {
	case trays == 0:
		return env.Words.Say("day.crew-changes")
	case f.adding:
		return env.Words.Say("day.sum-more", text)
	}
	return text
}

// notes are what else the source said that the rows do not show.
func (f *dayDraft) notes(env *screen.Env) []string {
	var out []string
	if len(f.over) > 0 {
		crops := make([]string, len(f.over))
		for i, demand := range f.over {
			crops[i] = env.Words.Crop(demand.Crop) + " " + env.Words.TimeOfDay(demand.Due.In(env.Now.Location()), "")
		}
		out = append(out, env.Words.Say("day.over", strings.Join(crops, ", ")))
	}
	if len(f.sow) > 0 {
		sow := make([]string, len(f.sow))
		for i, it := range f.sow {
			sow[i] = env.Words.Say("day.sow-of", it.Trays, env.Words.Crop(it.Crop))
		}
		out = append(out, env.Words.Say("day.sows", strings.Join(sow, ", ")))
	}
	if len(f.apart) > 0 {
		pairs := make([]string, len(f.apart))
		for i, p := range f.apart {
			pairs[i] = env.Words.Say("day.pair", env.Words.Crop(p[0]), env.Words.Crop(p[1]))
		}
		out = append(out, env.Words.Say("day.apart", strings.Join(pairs, ", ")))
	}
	return out
}

// Draw draws the form, and below it what it comes to.
func (d *Day) Draw(env *screen.Env, r canvas.Region) {
	f := d.draft(env)
	title := "day.title"
	if d.adding {
		title = "day.title-adding"
	}
	body := screen.Page(env, r, env.Words.Say(title, env.State.Site.Name, env.Words.Date(env.Now, "Mon 2 Jan")), f.label, d.Actions(env))
	notes := f.notes(env)
	if body.H <= 8 {
		notes = nil
	}
	foot := min(1+len(notes), max(body.H-3, 0))
	f.form.Draw(env, body.Rows(0, body.H-foot-1))
	for i, text := range append([]string{f.sum(env)}, notes...) {
		role := theme.Faint
		if i == 0 {
			role = theme.Text
		}
		if i < foot {
			body.Put(2, body.H-foot+i, role, text)
		}
	}
}
