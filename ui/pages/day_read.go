package pages

import (
	"strconv"
	"time"

	"shedbell/line"
	"shedbell/ui/screen"
)

// dayFault is what is wrong with the form, and where.
type dayFault struct {
	row   int
	inDue bool
	text  string
}

// demands reads the crops that have trays.
func (f *Day) demands(env *screen.Env) ([]line.Demand, *dayFault) {
	var out []line.Demand
	for i := range f.crops {
		c := &f.crops[i]
		trays := 0
		if c.trays != "" {
			n, err := strconv.Atoi(c.trays)
			if err != nil || n > line.MaxDayTrays {
				return nil, &dayFault{row: i, text: env.Words.Say("day.too-many", c.trays, c.name, line.MaxDayTrays)}
			}
			trays = n
		}
		if trays == 0 && c.due == "" {
			continue
		}
		if trays == 0 {
			return nil, &dayFault{row: i, text: env.Words.Say("day.no-trays", c.name)}
		}
		due, bad := dueAt(c.due, env.Now)
		if bad != "" {
			return nil, &dayFault{row: i, inDue: true, text: env.Words.Say(bad, c.name, clockDigits(c.due))}
		}
		out = append(out, line.Demand{Crop: c.name, Trays: trays, Due: due})
	}
	return out, nil
}

// pastBy is how far back a due time may lie to be taken for one that is over; what
// is further back is tomorrow's.
const pastBy = 12 * time.Hour

// dueAt reads a due time typed as hours and minutes. A fault is the key of its text,
// which names the crop and the time.
func dueAt(typed string, now time.Time) (at time.Time, fault string) {
	if typed == "" {
		return time.Time{}, ""
	}
	n, err := strconv.Atoi(typed)
	if err != nil || len(typed) != 4 || n/100 > 23 || n%100 > 59 {
		return time.Time{}, "day.bad-due"
	}
	at = time.Date(now.Year(), now.Month(), now.Day(), n/100, n%100, 0, 0, now.Location())
	if late := now.Sub(at); late > pastBy {
		return at.AddDate(0, 0, 1), ""
	} else if late > 0 {
		return time.Time{}, "day.past-due"
	}
	return at, ""
}

// commands is what the form asks of the line.
func (f *Day) commands(env *screen.Env) ([]line.Command, *dayFault) {
	demands, bad := f.demands(env)
	if bad != nil {
		return nil, bad
	}
	crew := f.names()
	if len(crew) == 0 && len(f.crew) > 0 {
		return nil, &dayFault{row: len(f.crops), text: env.Words.Say("day.nobody")}
	}
	if f.adding {
		var out []line.Command
		if len(crew) > 0 && !sameNames(crew, env.State.Crew) {
			out = append(out, line.SetCrew{Names: crew})
		}
		for _, d := range demands {
			out = append(out, line.AddTrays{Demand: d})
		}
		if len(out) == 0 {
			return nil, &dayFault{row: f.row, inDue: f.inDue, text: env.Words.Say("day.nothing")}
		}
		return out, nil
	}
	if len(demands) == 0 {
		return nil, &dayFault{row: min(f.row, len(f.crops)-1), text: env.Words.Say("day.no-day")}
	}
	return []line.Command{line.OpenDay{Sheet: f.sheet(env, demands, crew)}}, nil
}

// sheet is the day as the form has it. What a form does not ask for, the crops to
// keep apart and an own sow list, is taken from the source.
func (f *Day) sheet(env *screen.Env, demands []line.Demand, crew []string) line.Sheet {
	return line.Sheet{Date: env.Now.Format(time.DateOnly), Start: env.Now, Crew: crew, Crops: demands, Apart: f.apart, Sow: f.sow}
}

// preview is what the line would make of the form, or why it would not.
func (f *Day) preview(env *screen.Env) (trays, batches int, fault string) {
	commands, bad := f.commands(env)
	if bad != nil {
		return 0, 0, bad.text
	}
	s := env.State
	for _, c := range commands {
		d, no := line.Decide(s, c, env.Now)
		if no != nil {
			return trays, batches, env.Words.Refusal(no)
		}
		for _, r := range d.Records(s, env.Now, env.By) {
			for _, b := range batchesMade(r.Event) {
				trays += b.Trays
				batches++
			}
			s = line.Apply(s, r)
		}
	}
	return trays, batches, ""
}

func batchesMade(e line.Event) []line.NewBatch {
	switch e := e.(type) {
	case line.DayOpened:
		return e.Batches
	case line.BatchesAdded:
		return e.Batches
	}
	return nil
}
